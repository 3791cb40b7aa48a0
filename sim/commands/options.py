"""Options that several commands share, and how their texts become values."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path

from analysis.quantity.units import centimetres, kelvin, metres
from physics.ball import PLAYING_SPEEDS, Ball
from physics.reading import CAMERAS, READERS, Camera, Reader
from sim.calibration.ball_file import SUFFIX, ball_in, read_ball_file
from sim.chance import LARGEST_SEED
from sim.procedure import DEMO_PROCEDURE, DEMO_SEED, Procedure


def add_procedure_options(
    parser: argparse.ArgumentParser, reader: str, soak_s: float = DEMO_PROCEDURE.soak_s
) -> None:
    """The plan of the practical and the bench it is carried out at; the usual reader and soak."""
    plan = DEMO_PROCEDURE
    add_ball_option(parser)
    parser.add_argument(
        "--temperatures-c",
        type=temperatures,
        default=plan.temperatures_k,
        metavar="20,30,…",
        help="temperatures of the water in °C, separated by commas (20,30,40,50,60)",
    )
    parser.add_argument(
        "--repeats", type=int, default=plan.repeats, help="drops at each temperature (5)"
    )
    parser.add_argument(
        "--drop-height-cm",
        type=float,
        default=centimetres(plan.drop_height_m),
        help="height of the ball's lowest point at release (100)",
    )
    parser.add_argument(
        "--soak-s", type=float, default=soak_s, help=f"time in the water, each time ({soak_s:g})"
    )
    parser.add_argument("--no-towel", action="store_true", help="leave the ball wet")
    add_reading_options(parser, reader)


def add_seed_option(parser: argparse.ArgumentParser) -> None:
    """The number that makes a performance the same each time."""
    parser.add_argument(
        "--seed", type=seed, default=DEMO_SEED, help="number that the random errors grow from (1)"
    )


def add_ball_option(parser: argparse.ArgumentParser) -> None:
    """Which ball: one of the playing speeds, or one that `fit` has kept in a file."""
    parser.add_argument(
        "--ball",
        type=ball_choice,
        default="fast",
        metavar="BALL",
        help=f"playing speed of the ball ({', '.join(PLAYING_SPEEDS)}), or a ball file made by "
        f"'fit', ending {SUFFIX} (fast)",
    )


def add_reading_options(parser: argparse.ArgumentParser, usual: str) -> None:
    """Who reads, and from where."""
    reader = parser.add_mutually_exclusive_group()
    reader.add_argument(
        "--reader", choices=READERS, default=usual, help=f"who reads by eye ({usual})"
    )
    reader.add_argument(
        "--camera", type=int, choices=CAMERAS, help="read from a camera, frames a second"
    )
    parser.add_argument(
        "--eye-level-cm",
        type=float,
        help="height of the eye or the camera above the floor (the level of the bounce)",
    )


def add_output_options(parser: argparse.ArgumentParser, folder: str) -> None:
    """Where the files go."""
    parser.add_argument(
        "--out", type=Path, default=Path(folder), metavar="DIR", help=f"folder to write ({folder})"
    )
    parser.add_argument(
        "--force", action="store_true", help="write over files that are there already"
    )


def procedure_of(options: argparse.Namespace, *, reheat: bool) -> Procedure:
    """The plan that the options tell; NotPossible where the bench cannot carry it out."""
    eye_cm = options.eye_level_cm
    return Procedure(
        temperatures_k=options.temperatures_c,
        repeats=options.repeats,
        drop_height_m=metres(options.drop_height_cm),
        reheat=reheat,
        soak_s=options.soak_s,
        towel=not options.no_towel,
        observer=observer_of(options),
        eye_height_m=None if eye_cm is None else metres(eye_cm),
    )


def observer_of(options: argparse.Namespace) -> Reader | Camera:
    """The reader or camera that the options tell."""
    return CAMERAS[options.camera] if options.camera else READERS[options.reader]


def ball_of(options: argparse.Namespace) -> Ball:
    """The ball that the options tell.

    Raises:
        Refused: the ball file cannot be read or holds no ball; one sentence.

    """
    if options.ball in PLAYING_SPEEDS:
        return PLAYING_SPEEDS[options.ball]
    path = Path(options.ball)
    return ball_in(read_ball_file(path), path)


def ball_choice(text: str) -> str:
    """A playing speed, or the path of a ball file, which is read when it is needed."""
    if text in PLAYING_SPEEDS or text.lower().endswith(SUFFIX):
        return text
    raise argparse.ArgumentTypeError(
        f"{text!r} is neither one of {', '.join(PLAYING_SPEEDS)} nor a file ending {SUFFIX}"
    )


def number(low: float, high: float) -> Callable[[str], float]:
    """What reads a number from low to high, ends included."""

    def read(text: str) -> float:
        try:
            value = float(text)
        except ValueError as error:
            raise argparse.ArgumentTypeError(f"{text!r} is not a number") from error
        if not low <= value <= high:
            raise argparse.ArgumentTypeError(f"{text} does not lie between {low:g} and {high:g}")
        return value

    return read


def temperatures(text: str) -> tuple[float, ...]:
    """Temperatures in °C, separated by commas, as kelvin."""
    try:
        return tuple(kelvin(float(part)) for part in text.split(","))
    except ValueError as error:
        raise argparse.ArgumentTypeError(
            f"{text!r} is not a list of temperatures such as 20,30,40"
        ) from error


def seed(text: str) -> int:
    """A whole number that Philox takes as its key."""
    try:
        number = int(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(f"{text!r} is not a whole number") from error
    if not 0 <= number <= LARGEST_SEED:
        raise argparse.ArgumentTypeError("a seed lies between 0 and 2^128 - 1")
    return number
