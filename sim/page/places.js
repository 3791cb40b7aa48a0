/* ---- the page of a whole class: each place begins with a line of its own ---- */
function offerPlaces(places) {
  const first = places[0], last = places.at(-1), byName = first.name !== undefined;
  by("new").hidden = true;
  by("places").hidden = false;
  by("place-label").textContent = byName ? "Your name" : `The number of your place, from ${first.number} to ${last.number}`;
  const field = { id: "place", "aria-describedby": "place-wrong" };
  by("place-field").append(byName
    ? made("select", field, made("option", { value: "" }, "Choose your name"), ...places.map((one) => made("option", { value: one.number }, `${one.number} ${one.name}`)))
    : made("input", { ...field, inputmode: "numeric", autocomplete: "off" }));
  by("places").addEventListener("submit", (event) => {
    event.preventDefault();
    const written = by("place").value.trim();
    const found = places.find((one) => /^\d+$/.test(written) && Number(one.number) === Number(written));
    by("place").setAttribute("aria-invalid", String(!found));
    by("place-wrong").textContent = found ? "" : byName ? "Choose your name in the list first." : `${written ? `There is no place “${written}” on this page: write` : "Write"} a number from ${first.number} to ${last.number}.`;
    if (found) askIfSure(found); else by("place").focus();
  });
}
function askIfSure(place) {
  const called = `place ${[place.number, place.name].filter(Boolean).join(", ")}`;
  const begun = storedNames().find((name) => storedLines(name).text.startsWith(place.line));
  const anew = () => open(unused(place.file), new TextEncoder().encode(place.line));
  const choices = begun
    ? [[`Go on with ${called}`, () => goOn(begun)], [`Begin ${called} anew`, anew]]
    : [[`Yes, begin ${called}`, anew]];
  choices.push(["No, choose again", () => { by("sure").hidden = true; by("places").hidden = false; by("place").focus(); }]);
  by("sure-words").textContent = begun
    ? `Somebody began ${called} in this browser already. Go on if that was you. If you begin anew, your teacher gets two files.`
    : `Is ${called} yours? Nobody else may take it: its ball and its readings are for one student alone.`;
  by("sure-buttons").replaceChildren(...choices.map(([words, does]) => button(does, {}, words)));
  by("places").hidden = true;
  by("sure").hidden = false;
  by("sure-words").focus();
}
