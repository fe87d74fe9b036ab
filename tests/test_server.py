"""The line between page and kernel sends each message at once."""
import pytest
from click.testing import CliRunner
from traitlets.utils.importstring import import_item

from anim_lessons import commands
from anim_lessons.server import PromptConnection


def test_a_connection_sends_at_once_and_is_otherwise_jupyters_own(monkeypatch):
    told = []
    monkeypatch.setattr(PromptConnection.__mro__[1], "connect", lambda self: told.append("connected") or "theirs")
    handler = type("Handler", (), {"set_nodelay": lambda self, on: told.append(on)})()
    connection = PromptConnection.__new__(PromptConnection)
    monkeypatch.setattr(PromptConnection, "websocket_handler", handler)
    assert "theirs" == connection.connect()
    assert [True, "connected"] == told


def test_the_workbook_is_opened_with_it(monkeypatch, tmp_path):
    started = []
    monkeypatch.setattr(commands.workbook, "_run", lambda command: started.append(command) or 0)
    CliRunner().invoke(commands.main, ["open", str(tmp_path / "workbook"), "--no-browser"])
    (option,) = [part for part in started[0] if "kernel_websocket_connection_class" in part]
    assert PromptConnection is import_item(option.partition("=")[2])


@pytest.mark.parametrize("name", ["connect", "websocket_handler"])
def test_jupyter_still_has_what_is_built_upon(name):
    assert hasattr(PromptConnection.__mro__[1], name)
