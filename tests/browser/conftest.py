"""A real Chromium, and in it a real JupyterLab, started once for all tests here.

Nothing sleeps: the light table says in its data- attributes where it stands, and the tests wait
for that. A console error or a kernel error fails the test in which it appears.
"""
import functools
import http.server
import json
import os
import re
import secrets
import shutil
import subprocess
import sys
import tempfile
import threading
import time
import urllib.request
from pathlib import Path

import nbformat
import numpy as np
import pytest
from ports import free_port

import anim_lessons
from anim_lessons.model import action_file

NEEDED = os.environ.get("ANIM_LESSONS_NEEDS_BROWSER") == "1"
# First the one without windows: the same pages for a fifth less of the processor, a page of one's own for half.
CHROMIUM = next(filter(None, map(shutil.which, ("chromium-headless-shell", "chromium", "chromium-browser", "google-chrome"))), None)
ARGUMENTS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
             "--disable-component-update", "--disable-sync"]
LAPTOP = {"width": 1280, "height": 720}
PATIENCE = 30_000  # ms for what takes as long as the machine is loaded; never a measure of speed

# What JupyterLab itself complains of on a machine without a network or a language server.
NOT_OURS = re.compile(r"favicon|Failed to load resource|translation|lsp|extension-manager|news|preload|"
                      r"ResizeObserver loop|WebSocket|sessions/.*404|Canceled|kernel.*(restart|dead)", re.IGNORECASE)


def pytest_report_header():
    return f"browser tests: {CHROMIUM}" if CHROMIUM else "browser tests: NO CHROMIUM FOUND, they are skipped"


@pytest.fixture(scope="session")
def browser():
    if CHROMIUM is None:
        if NEEDED:
            pytest.fail("ANIM_LESSONS_NEEDS_BROWSER=1, and there is no Chromium; install the package chromium")
        pytest.skip("NO CHROMIUM FOUND, so nothing of the light table in a page is tested; "
                    "install the package chromium")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        yield browser
        browser.close()


# Told by the change itself: a locator asks again after 20, 70, 170, 270 ms and then each half second.
SEEN = """([first, says]) => new Promise(done => {
    const look = () => {
        const table = document.querySelector(first);
        if (table?.matches(says) && table.getClientRects().length) { watch.disconnect(); done(true); }
    };
    const watch = new MutationObserver(look);
    watch.observe(document, { subtree: true, childList: true, attributes: true });
    look();
})"""


class Lab:
    """A JupyterLab server with a folder of its own."""

    def __init__(self, root):
        self.root = root
        self.token = secrets.token_hex(16)
        self.port = free_port()
        self.url = f"http://127.0.0.1:{self.port}"
        home = root.parent / "home"
        quiet = home / "lab" / "user-settings" / "@jupyterlab" / "apputils-extension"
        quiet.mkdir(parents=True)
        (quiet / "notification.jupyterlab-settings").write_text('{"fetchNews": "false"}')  # no box over the table
        (home / "labconfig").mkdir()
        (home / "labconfig" / "page_config.json").write_text('{"buildAvailable": false, "buildCheck": false}')  # seconds a page
        here = str(Path(anim_lessons.__file__).parents[1])
        path = os.pathsep.join(filter(None, (here, os.environ.get("PYTHONPATH"))))
        env = {**os.environ, "PYTHONPATH": path, "JUPYTER_CONFIG_DIR": str(home), "JUPYTER_DATA_DIR": str(home),
               "JUPYTER_RUNTIME_DIR": str(home), "IPYTHONDIR": str(home / "ipython")}
        self.log = (root.parent / "lab.log").open("wb")
        self.server = subprocess.Popen(
            [sys.executable, "-m", "jupyterlab", "--no-browser", "--allow-root", f"--port={self.port}", "--ip=127.0.0.1",
             "--ServerApp.port_retries=0", f"--IdentityProvider.token={self.token}", f"--ServerApp.root_dir={root}",
             "--LabApp.expose_app_in_browser=True", "--LabApp.news_url=", "--LabApp.extension_manager=readonly",
             "--ServerApp.kernel_websocket_connection_class=anim_lessons.server.PromptConnection"],
            env=env, stdout=self.log, stderr=subprocess.STDOUT)
        until = time.monotonic() + 60
        while True:
            try:
                self.ask("api/status")
                return
            except OSError:
                if self.server.poll() is not None or time.monotonic() > until:
                    raise RuntimeError(f"JupyterLab did not start; see {self.log.name}") from None
                time.sleep(0.1)  # the one wait that has no event to wait for

    def ask(self, path, method="GET"):
        request = urllib.request.Request(f"{self.url}/{path}", method=method,
                                         headers={"Authorization": f"token {self.token}"})
        with urllib.request.urlopen(request, timeout=20) as answer:
            text = answer.read()
        return json.loads(text) if text else None

    def runs(self, id):
        """Whether a kernel still runs."""
        return any(id == kernel["id"] for kernel in self.ask("api/kernels"))

    def end_kernel(self, id):
        if self.runs(id):
            self.ask(f"api/kernels/{id}", "DELETE")

    def stop(self):
        self.server.terminate()
        self.server.wait(20)
        self.log.close()


@pytest.fixture(scope="session")
def lab(browser):
    with tempfile.TemporaryDirectory(prefix="anim-lessons-") as folder:
        Path(folder).chmod(0o755)  # a kernel that gives up its rights must still find its folder
        root = Path(folder) / "root"
        root.mkdir()
        lab = Lab(root)
        yield lab
        lab.stop()


def notebook(path, *cells):
    """Write a notebook of these code cells."""
    made = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(cell) for cell in cells])
    made.metadata["kernelspec"] = {"name": "python3", "display_name": "Python 3", "language": "python"}
    nbformat.write(made, path)


NOBODY = "{ value: { isActive: false }, configurable: true }"


class Desk:
    """A notebook open in JupyterLab, and the light table in it; in a kernel that runs already, if its id is given."""

    def __init__(self, lab, page, path, kernel=None):
        self.lab, self.page, self.path = lab, page, path
        self.folder = (lab.root / path).parent
        self.errors = []
        page.on("console", self._heard)
        page.on("pageerror", self._failed)
        page.set_default_timeout(PATIENCE)
        if page.url == "about:blank":
            # What a test evaluates counts as a press of somebody, and a table that somebody runs is scrolled into view.
            page.add_init_script(f"Object.defineProperty(navigator, 'userActivation', {NOBODY})")
            page.goto(f"{lab.url}/lab/workspaces/{secrets.token_hex(4)}/tree/{path}?token={lab.token}")
            page.wait_for_function("window.jupyterapp")
        else:  # JupyterLab is there already
            page.evaluate("""async ([path, id]) => {
                await jupyterapp.commands.execute('docmanager:open', id ? {path, kernel: {id}} : {path});
            }""", [path, kernel])
        page.wait_for_function("path => jupyterapp.shell.currentWidget?.context?.path === path", arg=path)
        self.idle()
        page.evaluate("""async () => {
            if (!window.jupyterapp.shell.leftCollapsed) await window.jupyterapp.commands.execute('application:toggle-left-area');
        }""")
        if kernel:
            self.run(f"import os; os.chdir({str(self.folder)!r})")
        self.began_in = page.evaluate("jupyterapp.shell.currentWidget.sessionContext.session.kernel.id")

    def clear_kernel(self):
        """As if it had just begun, but for what it has loaded."""
        self.idle()
        self.run("import ipywidgets; ipywidgets.Widget.close_all(); get_ipython().run_line_magic('reset', '-f')")

    def touch(self, on):
        """Whether the page is on a screen that is touched."""
        self.page.context.new_cdp_session(self.page).send("Emulation.setTouchEmulationEnabled", {"enabled": on})

    def leave(self):
        """Close the notebook; its page may open another one, which finds no drawings kept in the browser."""
        self.page.evaluate("Object.keys(localStorage).filter(key => key.startsWith('anim-lessons ')).forEach(key => localStorage.removeItem(key))")
        self.page.evaluate("() => { for (const widget of [...jupyterapp.shell.widgets('main')]) widget.dispose(); }")
        self.page.wait_for_function("!document.querySelector('.jp-NotebookPanel')")
        self.page.remove_listener("console", self._heard)
        self.page.remove_listener("pageerror", self._failed)

    def _heard(self, message):
        if message.type == "error" and not NOT_OURS.search(message.text):
            self.errors.append(message.text)

    def _failed(self, error):
        # A widget is loaded from a blob, and its modules call themselves anim_lessons/page/...; what never passed through
        # them is JupyterLab's own affair.
        if "/static/lab/" not in (error.stack or "") or "blob:" in error.stack or "anim_lessons/page/" in error.stack:
            self.errors.append(f"page error: {error.stack or error}")

    # ---- notebook and kernel

    def idle(self):
        """Wait until the notebook's kernel has nothing to do."""
        self.page.wait_for_function(
            "jupyterapp.shell.currentWidget?.sessionContext?.session?.kernel?.status === 'idle'")

    def command(self, name):
        self.page.evaluate("name => jupyterapp.commands.execute(name)", name)

    def run_all(self):
        self.command("notebook:run-all-cells")
        self.idle()
        return self

    def run(self, code):
        """Run code in the notebook's kernel; what it prints."""
        answer = self.page.evaluate("""async code => {
            const kernel = jupyterapp.shell.currentWidget.sessionContext.session.kernel;
            const future = kernel.requestExecute({code, store_history: false});
            let said = '';
            future.onIOPub = message => {
                if (message.header.msg_type === 'stream') said += message.content.text;
                if (message.header.msg_type === 'error') said += 'KERNEL ERROR ' + message.content.evalue;
            };
            await future.done;
            return said;
        }""", code)
        assert "KERNEL ERROR" not in answer, answer
        return answer.strip()

    def until(self, code, said):
        """Ask until Python says this: the page sends its last change once those before it have been answered."""
        end = time.monotonic() + PATIENCE / 1000
        while (answer := self.run(code)) != said and time.monotonic() < end:
            pass
        assert said == answer

    def restart_kernel(self):
        self.page.evaluate("jupyterapp.shell.currentWidget.sessionContext.session.kernel.restart()")

    # ---- the light table

    @property
    def table(self):
        return self.page.locator(".anim-light-table").first

    def comes_to(self, says):
        """Wait until the table matches this selector, which says what its data- attributes hold."""
        self.page.wait_for_function(SEEN, arg=[".anim-light-table", says])
        return self

    def ready(self, table=None):
        """Wait for a fresh verdict."""
        if table:
            table.locator("xpath=self::*[@data-verdict='fresh']").wait_for()
            return self
        return self.comes_to("[data-verdict='fresh']")

    def attribute(self, name, table=None):
        return (table or self.table).get_attribute(f"data-{name}")

    def state(self, *names):
        """Wait until the table is in one of these states."""
        return self.comes_to(f":is({', '.join(f'[data-state={name}]' for name in names)})")

    def revisions(self):
        """Revision of the pose and of the verdict, as Python has them."""
        return self.run("print(table.pose['revision'], table.verdict['revision'])").split()

    def places(self, table=None):
        """Where the handles lie on the sheet, mm rounded, by joint: what is on the screen."""
        return (table or self.table).evaluate("""table => Object.fromEntries(
            [...table.querySelectorAll('[data-limb][data-joint]')].map(handle => {
                const [x, y] = handle.getAttribute('transform').match(/[-\\d.]+/g).map(Number);
                return [handle.dataset.joint, [x / 2, 210 - y / 2]];
            }))""")

    def handle(self, joint, limb=None, table=None):
        limb = f'[data-limb="{limb}"]' if limb else ""
        return (table or self.table).locator(f'[data-joint="{joint}"]{limb}').first

    def centre(self, locator):
        box = locator.bounding_box()
        return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2

    def drag(self, joint, dx, dy, steps=3, release=True):
        """Drag a joint with the mouse, px."""
        x, y = self.centre(self.handle(joint))
        mouse = self.page.mouse
        mouse.move(x, y)
        mouse.down()
        mouse.move(x + dx, y + dy, steps=steps)
        if release:
            mouse.up()

    def press(self, words):
        """Press a button, be it behind "more"."""
        button = self.table.get_by_role("button", name=words, exact=True)
        behind = not button.count()
        if behind:
            self.more()
        button.click()
        if behind:
            self.more(False)

    def more(self, is_open=True):
        """Lay what is on demand over the margin, or put it away."""
        if self.table.locator(".more").is_visible() != is_open:
            self.table.locator(".more-b").click()
        return self

    def voice(self):
        """What is said, in one line."""
        return " ".join(self.table.locator(".voice").inner_text().split())

    def says(self, words):
        """Wait until the voice says this."""
        self.table.locator(".voice").get_by_text(words).first.wait_for()
        return self

    def go(self, number):
        """Bring a drawing on the table."""
        self.run(f"table.number = {number}")
        return self.comes_to(f"[data-drawing='{number}']")

    def lay(self, demo):
        """Lay one of the scenario's actions on the table."""
        self.run(f"from anim_lessons.ferry.actions import DEMOS; table.action = DEMOS['{demo}']()")
        return self.ready()

    def findings(self):
        return [(note.get_attribute("data-rule"), note.get_attribute("data-drawings"))
                for note in self.table.locator("[data-rule][data-drawings]").all()]

    def action(self):
        """What Python has on the table."""
        data = self.run("from anim_lessons.model import action_file; print(action_file.dumps(table.action).decode())")
        return action_file.loads(data.encode())

    def saved(self):
        """Wait until the table says that what it shows is saved; the action in the file."""
        self.page.wait_for_function("""() => /^saved/.test(document.querySelector('.anim-light-table .saved').textContent)""")
        return action_file.read(next(self.folder.glob("*.json")))

    def check_errors(self):
        assert self.errors == []


CELLS = ("from anim_lessons import lessons", 'table = lessons.light_table("wave.json", start="{demo}")', "table")


class Pages:
    """Pages with JupyterLab in them, and one kernel that has loaded the library: lent to one test after the other.

    To load JupyterLab takes seconds of the processor, to start a kernel one more.
    """

    def __init__(self, lab, browser):
        self.lab, self.browser, self.free, self.kernel = lab, browser, [], None

    def lend(self, path, viewport=LAPTOP, touch=False, own_kernel=False):
        """A notebook of the server's folder, open in a page; in the kernel that tests share unless it is to have its own."""
        page = self.free.pop() if self.free else self.browser.new_context(viewport=viewport).new_page()
        page.set_viewport_size(viewport)
        desk = Desk(self.lab, page, path, None if own_kernel else self.kernel)
        if touch:
            desk.touch(True)
        if not own_kernel and self.kernel is None:
            self.kernel = desk.began_in
        return desk

    def take_back(self, desk, sound=True):
        """Free for the next test, with no notebook open; put away where a test failed in it."""
        sound = sound and not desk.errors
        shared = desk.began_in == self.kernel
        if shared and sound and self.lab.runs(self.kernel):
            desk.clear_kernel()
        elif shared:
            self.kernel = None
        if sound:
            desk.touch(False)
            desk.leave()
            self.free.append(desk.page)
        else:
            desk.page.context.close()
        if desk.began_in != self.kernel:
            self.lab.end_kernel(desk.began_in)


@pytest.fixture(scope="session")
def pages(browser, lab):
    return Pages(lab, browser)


def lay_out(lab, demo="wave", cells=CELLS, prepare=None):
    """A folder of its own with a notebook with a light table; the notebook's path on the server."""
    folder = lab.root / f"desk-{secrets.token_hex(3)}"
    folder.mkdir()
    if prepare:
        prepare(folder)
    notebook(folder / "lesson.ipynb", *(cell.replace("{demo}", demo) for cell in cells))
    return f"{folder.name}/lesson.ipynb"


def ran(desk):
    """Run the notebook, and wait for its light table."""
    desk.run_all()
    desk.table.wait_for()
    desk.table.scroll_into_view_if_needed()
    return desk.ready()


@pytest.fixture
def opened(pages, request):
    """Open a notebook that is there: what was opened is closed after the test, and no error went unheard."""
    desks, failed = [], request.session.testsfailed

    def open_notebook(path, **options):
        desks.append(pages.lend(path, **options))
        return desks[-1]

    yield open_notebook
    for desk in desks:
        pages.take_back(desk, request.session.testsfailed == failed)
    for desk in desks:
        desk.check_errors()


@pytest.fixture
def new_desk(opened, lab):
    """Open a notebook with a light table in a folder of its own."""
    def open_new(demo="wave", cells=CELLS, prepare=None, **options):
        return ran(opened(lay_out(lab, demo, cells, prepare), **options))

    return open_new


@pytest.fixture
def own_desk(browser, lab):
    """As `new_desk`, in a page and a kernel that no other test has had or will have."""
    desks = []

    def open_own(demo="wave", cells=CELLS, prepare=None, **context):
        page = browser.new_context(**{"viewport": LAPTOP} | context).new_page()
        desks.append(ran(Desk(lab, page, lay_out(lab, demo, cells, prepare))))
        return desks[-1]

    yield open_own
    for desk in desks:
        desk.page.context.close()
        lab.end_kernel(desk.began_in)
        desk.check_errors()


@pytest.fixture(scope="module")
def shared_desk(pages, lab):
    desk = ran(pages.lend(lay_out(lab), own_kernel=True))
    yield desk
    pages.take_back(desk)


@pytest.fixture
def desk(shared_desk):
    """A desk shared by the tests of a module, with the clean wave on it and drawing 1 under work."""
    desk = shared_desk
    desk.errors.clear()
    desk.page.set_viewport_size(LAPTOP)
    if desk.attribute("done"):
        desk.press("back to the drawings")
    desk.lay("wave")
    desk.go(1)
    desk.table.scroll_into_view_if_needed()
    yield desk
    desk.check_errors()


# ---- a bare page ----------------------------------------------------------------------------------


@pytest.fixture(scope="session")
def served():
    """The repository over http; the page's address."""
    class Quiet(http.server.SimpleHTTPRequestHandler):
        def log_message(self, *_):
            pass

    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(Quiet, directory=Path(__file__).parents[2]))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_address[1]}/tests/view/harness.html"
    server.shutdown()


class Harness(Desk):
    """A light table in a bare page; `model` there stands for Python."""

    def __init__(self, page, address):
        self.page, self.errors = page, []
        page.on("pageerror", self._failed)
        page.goto(address)
        page.wait_for_function("window.ready")

    def _failed(self, error):
        self.errors.append(error.stack or str(error))

    def guide(self, state="fresh"):
        return self.comes_to(f"[data-guide='{state}']")

    def angle(self, joint, parent):
        """Of the part that ends in a joint, degrees counter-clockwise, as it is seen."""
        (x, y), (px, py) = self.centre(self.handle(joint).locator(".knob")), self.centre(self.handle(parent).locator(".knob"))
        return float(np.degrees(np.arctan2(py - y, x - px))) % 360

    def allowed(self):
        return [tuple(map(float, arc.get_attribute("data-allowed").split())) for arc in self.table.locator("[data-allowed]").all()]

    def stands(self):
        return self.table.locator(".voice .says").first.inner_text()


class BarePages:
    """Pages without JupyterLab, lent from one test to the next: a fresh one costs most of a second, the same one a quarter.

    Those that were opened alike are lent to each other's tests: touched, without a network, with motion reduced.
    """

    def __init__(self, browser):
        self.browser, self.free, self.alike = browser, {}, {}

    def lend(self, viewport, **context):
        alike = tuple(sorted(context.items()))
        free = self.free.setdefault(alike, [])
        page = free.pop() if free else self.browser.new_context(viewport=viewport, **context).new_page()
        self.alike[page] = alike
        page.set_viewport_size(viewport)
        return page

    def take_back(self, page):
        """With nothing kept in it, pressed or pointed at."""
        page.evaluate("localStorage.clear(); sessionStorage.clear()")
        page.mouse.up()
        page.mouse.move(0, 0)
        page.goto("about:blank")
        self.free[self.alike[page]].append(page)


@pytest.fixture(scope="session")
def bare_pages(browser):
    return BarePages(browser)


@pytest.fixture
def harness(browser, bare_pages, served, request):
    """Open the light table in a bare page; `own` where a test changes what stays with a page, like its media."""
    opened_here, failed = [], request.session.testsfailed

    def opened(query="state=clean&guide=wrist&number=6", width=1280, height=720, own=False, clock=False, **context):
        viewport = {"width": width, "height": height}
        own = own or clock
        page = browser.new_context(viewport=viewport, **context).new_page() if own else bare_pages.lend(viewport, **context)
        if clock:
            page.clock.install()
        desk = Harness(page, f"{served}?{query}" + ("" if "theme=" in query else "&theme=light"))
        opened_here.append((desk, own))
        return desk

    yield opened
    for desk, own in opened_here:
        if own or desk.errors or request.session.testsfailed != failed:
            desk.page.context.close()
        else:
            desk.page.remove_listener("pageerror", desk._failed)
            bare_pages.take_back(desk.page)
        assert desk.errors == []


@pytest.fixture
def stopped(harness):
    """A table in a page whose clock stands still, and goes on as far as it is told."""
    def opened(query, width=1280, height=720):
        desk = harness(query, width, height, clock=True)
        desk.page.clock.pause_at(desk.page.evaluate("Date.now()") + 1000)
        return desk, desk.page.clock

    return opened
