"""What tests share across files, and how the whole suite is spread over two processes."""
import pytest
from hypothesis import settings
from kernels import run_all

# A slow machine is no failure.
settings.register_profile("suite", deadline=None, max_examples=40)
settings.load_profile("suite")

PROCESSES = 2
# What costs most to start is started once: the tests that need it go together, longest first. All others go by file.
TOGETHER = {"lab": "JupyterLab", "nbval_run": "nbval"}


@pytest.hookimpl(tryfirst=True)
def pytest_cmdline_main(config):
    """Two processes for the whole suite; none more where files are named, or by -n 0.

    Not in addopts: those reach into a workbook that is opened in the checkout, where there need be no xdist.
    """
    option = config.option
    whole = config.args_source is config.ArgsSource.TESTPATHS and not option.collectonly and not option.usepdb
    if whole and not hasattr(config, "workerinput") and getattr(option, "numprocesses", 0) is None and option.dist == "no":
        option.numprocesses, option.dist, option.loadscopereorder = PROCESSES, "loadgroup", False


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(config, items):
    if getattr(config.option, "dist", "no") != "loadgroup" and not hasattr(config, "workerinput"):
        return

    def place(item):
        return next((n for n, fixture in enumerate(TOGETHER) if fixture in item.fixturenames), len(TOGETHER))

    for item in items:
        named = [*TOGETHER.values(), item.nodeid.split("::")[0]]
        item.add_marker(pytest.mark.xdist_group(named[place(item)]))
    items.sort(key=place)


@pytest.fixture(scope="session")
def nbval_run(tmp_path_factory):
    """Hand-ins, lessons and demonstrations under nbval, each in a kernel of its own: one run for all who look at it."""
    # A folder of a learner's own may well have a blank and an accent in its name.
    return run_all(tmp_path_factory.mktemp("käte und ole"))
