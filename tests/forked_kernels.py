"""A plugin for nbval: kernels that are forks of one process, which has loaded what all of them load.

Each is a process of its own with nothing in its namespace, as one that was started is; to start IPython and to load the library
is what most of a short notebook's time goes into. POSIX alone; elsewhere kernels are started as ever.
"""
import json
import os
import signal
import subprocess
import sys
import time

LOADED = ("ipykernel.kernelapp", "ipykernel.ipkernel", "matplotlib_inline.backend_inline", "matplotlib.pyplot", "sqlite3",
          "scipy.interpolate", "scipy.optimize", "PIL.ImageFont", "anim_lessons.lessons", "anim_lessons.light_table")


class Forked:
    """A kernel, as far as `jupyter_client` asks for one: what it uses of `subprocess.Popen`."""

    stdin = stdout = stderr = returncode = None

    def __init__(self, pid):
        self.pid = pid

    def send_signal(self, number):
        try:
            os.kill(self.pid, number)
        except ProcessLookupError:  # it has ended, and the process that it is a fork of has taken note
            self.returncode = 0

    def poll(self):
        if self.returncode is None:
            self.send_signal(0)
        return self.returncode

    def wait(self):
        while self.poll() is None:
            time.sleep(0.01)
        return self.returncode

    def kill(self):
        self.send_signal(signal.SIGKILL)

    def terminate(self):
        self.send_signal(signal.SIGTERM)


def pytest_configure(config):
    if not hasattr(os, "fork"):
        return
    from jupyter_client.provisioning import local_provisioner

    env = {**os.environ, "MPLBACKEND": "module://matplotlib_inline.backend_inline"}  # as every kernel sets it, before it loads
    source = subprocess.Popen([sys.executable, __file__], env=env, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)

    def launch(command, cwd=None, env=None, **_):
        print(json.dumps([command, cwd, env or dict(os.environ)]), file=source.stdin, flush=True)
        return Forked(int(source.stdout.readline()))

    local_provisioner.launch_kernel = launch
    config.add_cleanup(source.communicate)


def taken_note_of(*_):
    """Kernels that ended leave nothing behind."""
    try:
        while os.waitpid(-1, os.WNOHANG)[0]:
            pass
    except ChildProcessError:
        pass


def main():
    for name in LOADED:
        __import__(name)
    signal.signal(signal.SIGCHLD, taken_note_of)
    for line in sys.stdin:
        command, cwd, env = json.loads(line)
        pid = os.fork()
        if not pid:
            return command, cwd, env
        os.setpgid(pid, pid)  # so that what is sent to it and to what it has started is sent to nobody else
        print(pid, flush=True)


if __name__ == "__main__" and (asked := main()):
    command, cwd, env = asked
    signal.signal(signal.SIGCHLD, signal.SIG_DFL)
    os.chdir(cwd or ".")
    os.environ.clear()
    os.environ.update(env)
    nowhere = os.open(os.devnull, os.O_RDWR)
    for stream in range(3):
        os.dup2(nowhere, stream)
    sys.argv = ["ipykernel_launcher", *command[command.index("-f"):]]
    sys.path[0] = ""
    from ipykernel import kernelapp

    kernelapp.launch_new_instance()
