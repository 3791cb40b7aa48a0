"""No command calls any network: they run with sockets forbidden, and nothing of ours loads one.

`portable` leaves fetching to pip, where it is not given the packages.
"""

import socket

import pygame
import pytest

from analysis.__main__ import main as analyse
from physics.ball import FAST
from sim.__main__ import COMMANDS, main
from sim.bench.screen.lettering import forget
from sim.classroom.class_key import Handout, key_bytes, new_key, record_name
from sim.procedure import Procedure
from sim.record.replay import read_record
from tests.page import made_runtime
from tests.sim.classroom.written_class import written_record
from tests.sim.made_packages import laid_out, wheel
from tests.structure.source import imports_of, modules

NETWORK = {
    "socket",
    "ssl",
    "http",
    "urllib",
    "ftplib",
    "smtplib",
    "asyncio",
    "xmlrpc",
    "webbrowser",
}
NETWORK |= {"requests", "httpx", "aiohttp", "urllib3"}


def test_nothing_of_ours_loads_what_speaks_to_a_network():
    for name in modules():
        assert not {one.partition(".")[0] for one in imports_of(name)} & NETWORK, name


@pytest.fixture
def no_sockets(monkeypatch):
    def forbidden(*_, **__):
        raise AssertionError("a socket was asked for")

    monkeypatch.setattr(socket.socket, "__init__", forbidden)
    for name in ("getaddrinfo", "gethostbyname", "socketpair"):
        monkeypatch.setattr(socket, name, forbidden)


def test_every_command_runs_with_sockets_forbidden(tmp_path, monkeypatch, no_sockets):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "names.csv").write_text("name\nAda\n")
    key = new_key(Handout("records", FAST, Procedure(repeats=2)), ("Ada",), 1)
    (tmp_path / "key.json").write_bytes(key_bytes(key))
    done = []

    def run(command, words):
        assert command(words.split()) == 0, words
        done.append(words.split()[0])

    run(main, "perform --repeats 3 --out own")
    run(analyse, "own/readings.csv --pdf --svg --json")
    run(analyse, "own/readings.xlsx --out x")
    run(analyse, "mark own/readings.csv")
    run(analyse, "paper")
    run(main, "contrast --repeats 2")
    run(main, "fit own/readings.csv")
    run(main, "classset names.csv")
    record = next((tmp_path / "class set" / "for students").glob("*.jsonl"))
    record.rename(tmp_path / "a.rebound.jsonl")
    run(main, "readings a.rebound.jsonl")
    run(main, "mark a.rebound.jsonl")
    (tmp_path / "in").mkdir()
    (tmp_path / "a.rebound.jsonl").rename(tmp_path / "in" / "a.rebound.jsonl")
    run(main, "collect in --key key.json")
    run(main, " ".join(map(str, laid_out(tmp_path / "portable", wheel()))))
    made_runtime.laid_out(tmp_path / "runtime", monkeypatch)
    run(main, "page --runtime runtime --out page.html")
    assert set(COMMANDS) - set(done) == {"demonstrate", "judge"}


@pytest.fixture
def worked_window(monkeypatch):
    """Any window that opens finds these keys pressed, and then that it is closed."""
    pressed, opened, really = [], [], pygame.display.set_mode

    def set_mode(*how):
        surface = really(*how)
        opened.append(surface.get_size())
        for code in pressed:
            pygame.event.post(pygame.Event(pygame.KEYDOWN, key=code, mod=0, unicode=""))
        pygame.event.post(pygame.Event(pygame.QUIT))
        return surface

    monkeypatch.setenv("SDL_VIDEODRIVER", "dummy")
    monkeypatch.setattr(pygame.display, "set_mode", set_mode)
    yield pressed, opened
    pygame.font.init()  # as other tests of this run have it
    forget()


def test_the_bench_and_the_demonstration_run_with_sockets_forbidden(
    tmp_path, worked_window, no_sockets
):
    pressed, opened = worked_window
    pressed += [pygame.K_h, pygame.K_b, pygame.K_RETURN]
    assert main(["--new", "--folder", str(tmp_path)]) == 0
    (record,) = tmp_path.glob("*.rebound.jsonl")
    assert read_record(record).actions
    pressed[:] = [pygame.K_RETURN, pygame.K_END]
    assert main(["demonstrate", "--repeats", "2"]) == 0
    assert len(opened) == 2


def test_judging_runs_with_sockets_forbidden(tmp_path, monkeypatch, worked_window, no_sockets):
    monkeypatch.chdir(tmp_path)
    key = new_key(Handout("records", FAST, Procedure()), ("Ada",), 1)
    (tmp_path / "key.json").write_bytes(key_bytes(key))
    (tmp_path / "in").mkdir()
    (tmp_path / "in" / record_name(key, 1)).write_bytes(written_record(key, 1, seed=1))
    assert main(["collect", "in", "--key", "key.json"]) == 0
    worked_window[0].append(pygame.K_r)
    assert main(["judge", "class results"]) == 0
    kept = (tmp_path / "class results" / "corrections.csv").read_text(encoding="utf-8-sig")
    assert kept.count(",right,") == 1
