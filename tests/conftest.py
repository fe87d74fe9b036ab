"""What tests share across files, and which of them must share a process."""
import pytest
from kernels import run_all


@pytest.fixture(scope="session")
def nbval_run(tmp_path_factory):
    """Hand-ins, lessons and demonstrations under nbval, each in a kernel of its own: one run for all who look at it."""
    # A folder of a learner's own may well have a blank and an accent in its name.
    return run_all(tmp_path_factory.mktemp("käte und ole"))
