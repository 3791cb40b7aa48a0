"""For all tests: how deep the property tests go, and what the collector may leave alone.

Property tests are not timed example by example, on however slow a machine. The default run draws
a few examples of each; where slow tests are asked for, property tests are among them and draw four
times as many.
"""

import gc

import pytest
from hypothesis import HealthCheck, settings

FEW, MANY = 25, 100

gc.disable()  # while the tests are collected: next to nothing of that is ever let go

settings.register_profile(
    "calm", deadline=None, suppress_health_check=[HealthCheck.too_slow], print_blob=True
)
settings.register_profile("few", settings.get_profile("calm"), max_examples=FEW)
settings.register_profile("many", settings.get_profile("calm"), max_examples=MANY)
settings.load_profile("few")


def deep(config):
    """Whether slow tests are among those that are asked for."""
    return "not slow" not in config.option.markexpr


def pytest_configure(config):
    settings.load_profile("many" if deep(config) else "few")
    if "loadscopereorder" in config.option:
        # Else the files of few tests come last, and one of these, in a browser, is the longest.
        config.option.loadscopereorder = False


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(config, items):
    if deep(config):
        for item in items:
            if getattr(getattr(item, "obj", None), "is_hypothesis_test", False):
                item.add_marker("slow")


def pytest_collection_finish():
    """What is loaded by now stays to the end: the collector need not go through it again."""
    gc.collect()
    gc.freeze()
    gc.enable()
