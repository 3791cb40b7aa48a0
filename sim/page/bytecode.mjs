/* Runs the page's interpreter: node bytecode.mjs RUNTIME FOLDER, where FOLDER has the parts. */
import { readFileSync, writeFileSync } from "node:fs";
import { pathToFileURL } from "node:url";
const [runtime, folder] = process.argv.slice(2);
const { loadPyodide } = await import(pathToFileURL(`${runtime}/pyodide.mjs`));
const python = await loadPyodide({ indexURL: `${runtime}/`, env: { HOME: "/home/pyodide", PYTHONHASHSEED: "0" } });
const bytes = (path) => new Uint8Array(readFileSync(path));
const archives = {
  "python_stdlib.zip": [bytes(`${runtime}/python_stdlib.zip`), "/lib/python314.zip"],
  "program.zip": [bytes(`${folder}/program.zip`), "/program"],
};
python.unpackArchive(bytes(`${folder}/msgspec.whl`), "wheel");
python.unpackArchive(archives["program.zip"][0], "zip", { extractDir: "/program" });
/* What a page imports in its rehearsal, first feedback included, is imported: that is what gets compiled. */
python.runPython("import sys; sys.path.insert(0, '/program')");
for (const _ of python.pyimport("sim.page.bridge").rehearsal());
const { compiled } = python.pyimport("sim.page.bytecode");
for (const [name, [content, place]] of Object.entries(archives)) {
  writeFileSync(`${folder}/${name}`, compiled(python.toPy(content), place).toJs());
}
