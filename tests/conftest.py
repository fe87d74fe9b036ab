"""What tests share across files, and how the whole suite is spread over two processes."""
import os

# Two processes on two cores: threads of their own for small matrices only wait for each other. Set before numpy is loaded.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import pytest
from hypothesis import settings

# A slow machine is no failure.
settings.register_profile("suite", deadline=None, max_examples=40)
settings.load_profile("suite")

PROCESSES = 2
# What costs most to start is started once: the files that need it go to one process. Longest first; then file by file.
NBVAL = {f"tests/test_{name}.py" for name in ("homework", "notebooks", "instructor", "html")}
BARE = {f"tests/browser/test_{name}.py" for name in (  # pages without JupyterLab
    "guide_in_the_page", "desk", "for_everybody", "given_page", "any_action", "who_only_reads", "class_page", "page_in_html",
    "against_browser_easing")}
SHARED = ("JupyterLab", "nbval")


def shares(nodeid):
    """What a test shares a process with: one of SHARED, or its file."""
    file = nodeid.split("::")[0]
    if file.startswith("tests/browser/") and file not in BARE:
        return "JupyterLab"
    return "nbval" if file in NBVAL else file


@pytest.hookimpl(tryfirst=True)
def pytest_cmdline_main(config):
    """Two processes for the whole suite; none more where files are named, or by -n 0.

    Not in addopts: those reach into a workbook that is opened in the checkout, where there need be no xdist.
    """
    option = config.option
    whole = config.args_source is config.ArgsSource.TESTPATHS and not option.collectonly and not option.usepdb
    if whole and not hasattr(config, "workerinput") and getattr(option, "numprocesses", 0) is None and option.dist == "no":
        option.numprocesses, option.dist, option.loadscopereorder = PROCESSES, "loadscope", False


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config, log):
    from xdist.scheduler import LoadScopeScheduling

    class BySharing(LoadScopeScheduling):
        def _split_scope(self, nodeid):
            return shares(nodeid)

    return BySharing(config, log) if config.option.dist == "loadscope" else None


def pytest_collection_modifyitems(config, items):
    if hasattr(config, "workerinput"):
        items.sort(key=lambda item: (*SHARED, shares(item.nodeid)).index(shares(item.nodeid)))


@pytest.fixture(scope="session")
def nbval_run(tmp_path_factory):
    """Hand-ins, lessons and demonstrations under nbval, each in a kernel of its own: one run for all who look at it."""
    from kernels import run_all  # the process that hands out the tests needs none of it

    # A folder of a learner's own may well have a blank and an accent in its name.
    return run_all(tmp_path_factory.mktemp("käte und ole"))

