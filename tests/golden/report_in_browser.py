#!/usr/bin/env python3
"""Looks at a page in a headless Chromium, by its DevTools protocol over a pipe; nothing but the standard library.

usage: report_in_browser.py CHROMIUM PAGE... [--sheets N] [--pictures FOLDER]

Prints what is wrong, a line each, and ends with 1; ends with 0 and "pages: N" when nothing is. --sheets says how many
printed sheets each may have at the most. --pictures also saves screenshots (wide, phone, dark) and the PDF.
"""
import base64
import json
import os
import pathlib
import re
import subprocess
import sys
import tempfile

FLAGS = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-sync",
         "--disable-background-networking", "--disable-component-update", "--hide-scrollbars", "--remote-debugging-pipe"]
PHONE, WIDE = (360, 800, 2), (1400, 900, 1)
A4_POINTS = (595, 842)
# Roles whose elements a screen reader must be able to name.
NAMED = {"image", "region", "table", "navigation", "link", "RootWebArea", "SvgRoot"}


class Browser:
    """One Chromium; messages are JSON, a NUL after each (fd 3 to it, fd 4 from it)."""

    def __init__(self, program, profile):
        to_read, self._to = os.pipe()
        self._from, to_write = os.pipe()

        def hand_over():  # in the child: whatever numbers the pipes have got, they become 3 and 4
            theirs = os.dup(to_read), os.dup(to_write)
            os.dup2(theirs[0], 3)
            os.dup2(theirs[1], 4)

        self.process = subprocess.Popen([program, *FLAGS, f"--user-data-dir={profile}", "about:blank"],
                                        pass_fds=(3, 4, to_read, to_write), preexec_fn=hand_over,
                                        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        os.close(to_read)
        os.close(to_write)
        self._left, self._number, self.events, self._session = b"", 0, [], None

    def _next(self):
        while b"\0" not in self._left:
            piece = os.read(self._from, 1 << 20)
            if not piece:
                raise SystemExit("the browser has ended")
            self._left += piece
        message, self._left = self._left.split(b"\0", 1)
        return json.loads(message)

    def call(self, method, **parameters):
        self._number += 1
        message = {"id": self._number, "method": method, "params": parameters}
        if self._session:
            message["sessionId"] = self._session
        os.write(self._to, json.dumps(message).encode() + b"\0")
        while True:
            answer = self._next()
            if answer.get("id") == self._number:
                if "error" in answer:
                    raise SystemExit(f"{method}: {answer['error']['message']}")
                return answer["result"]
            self.events.append(answer)

    def wait_for(self, method):
        while True:
            for i, event in enumerate(self.events):
                if event.get("method") == method:
                    return self.events.pop(i)
            self.events.append(self._next())

    def attach(self):
        target = self.call("Target.createTarget", url="about:blank")["targetId"]
        self._session = self.call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for domain in ("Page", "Runtime", "Log", "Network", "Accessibility", "DOM"):
            self.call(f"{domain}.enable")

    def value(self, expression):
        return self.call("Runtime.evaluate", expression=expression, returnByValue=True)["result"].get("value")

    def size(self, width, height, scale):
        self.call("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=scale,
                  mobile=width < 700)

    def key(self, name):
        for kind in ("keyDown", "keyUp"):
            self.call("Input.dispatchKeyEvent", type=kind, key=name, code=name,
                      windowsVirtualKeyCode={"Tab": 9}[name])


def complaints(browser):
    """Errors of the console and of the content security policy, and anything fetched."""
    found = []
    for event in browser.events:
        method, parameters = event.get("method"), event.get("params", {})
        if method == "Log.entryAdded" and parameters["entry"]["level"] in ("error", "warning"):
            found.append("console: " + parameters["entry"]["text"])
        elif method == "Runtime.consoleAPICalled":
            found.append("a script ran: console." + parameters["type"])
        elif method == "Runtime.exceptionThrown":
            found.append("a script ran and failed: " + parameters["exceptionDetails"]["text"])
        elif method == "Page.javascriptDialogOpening":
            found.append("a script ran: a dialog")
        elif method == "Network.requestWillBeSent":
            url = parameters["request"]["url"]
            if not url.startswith(("data:", "file:", "about:")):
                found.append("fetched " + url)
    return found


def check_accessibility(browser):
    nodes = browser.call("Accessibility.getFullAXTree")["nodes"]
    found, seen, level = [], set(), 0
    for node in nodes:
        if node.get("ignored"):
            continue
        role, name = node["role"]["value"], node.get("name", {}).get("value", "")
        seen.add(role)
        if role in NAMED and not name.strip():
            found.append(f"a {role} without a name for screen readers")
        if role == "heading":
            now = next(p["value"]["value"] for p in node["properties"] if p["name"] == "level")
            if now > level + 1:
                found.append(f"heading \"{name}\" jumps from level {level} to {now}")
            level = now
    nameless = browser.value("document.querySelectorAll('[role=region]:not([aria-label]), nav:not([aria-label]),"
                             " [role=img]:not([aria-label]):not([aria-labelledby]), table:not(:has(caption))').length")
    if nameless:
        found.append(f"{nameless} regions, pictures or tables without a name")
    missing = {"main", "navigation", "banner", "contentinfo", "image", "table", "columnheader", "rowheader"} - seen
    return found + [f"no {role} for screen readers" for role in sorted(missing)]


def check_keyboard(browser):
    """Tab goes through every link and every region that scrolls."""
    wanted = browser.value("document.querySelectorAll('a[href], input, [tabindex=\"0\"]').length")
    browser.value("document.activeElement.blur()")
    reached = set()
    for _ in range(wanted + 1):
        browser.key("Tab")
        reached.add(browser.value("[...document.querySelectorAll('a[href], input, [tabindex=\"0\"]')]"
                                  ".indexOf(document.activeElement)"))
    reached.discard(-1)
    found = [] if len(reached) == wanted else [f"Tab reaches {len(reached)} of {wanted} links and regions"]
    unreachable = browser.value(
        "[...document.querySelectorAll('*')].filter(e => e.scrollWidth > e.clientWidth + 1 && e.tabIndex < 0 &&"
        " getComputedStyle(e).overflowX === 'auto').length")
    return found + ([f"{unreachable} regions scroll and cannot be reached by keyboard"] if unreachable else [])


def luminance(colour):
    def linear(part):
        part /= 255
        return part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4
    red, green, blue = (linear(part) for part in colour)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def check_contrast(browser):
    """WCAG 2.1, 1.4.3: at least 4.5 to 1 for all text of the page (that of drawings stands on white halos)."""
    pairs = browser.value("""
        [...document.querySelectorAll('body *')].filter(e => !e.closest('svg') && [...e.childNodes].some(
            n => n.nodeType === 3 && n.data.trim())).map(e => {
          let ground = e;
          while (ground && getComputedStyle(ground).backgroundColor === 'rgba(0, 0, 0, 0)') ground = ground.parentElement;
          return [getComputedStyle(e).color, ground ? getComputedStyle(ground).backgroundColor : 'rgb(255, 255, 255)'];
        })""")
    found = set()
    for text, ground in {tuple(pair) for pair in pairs}:
        light, dark = sorted((luminance([float(n) for n in re.findall(r"[\d.]+", colour)[:3]])
                              for colour in (text, ground)), reverse=True)
        if (light + 0.05) / (dark + 0.05) < 4.5:
            found.add(f"text {text} on {ground}: contrast {(light + 0.05) / (dark + 0.05):.1f}")
    return sorted(found)


def check_width(browser, width):
    wide = browser.value("document.scrollingElement.scrollWidth")
    return [f"at {width} px the page is {wide} px wide"] if wide > width else []


def check_blocks(browser):
    """On a phone every figure of a feature is in sight, with its name: nothing to scroll to sideways."""
    return browser.value("""
        [...document.querySelectorAll('table.features')].flatMap(table => {
          const found = [], scroll = table.closest('.scroll');
          if (scroll.scrollWidth > scroll.clientWidth) found.push('scrolls sideways');
          for (const cell of table.querySelectorAll('tbody td:not([colspan])')) {
            const box = cell.getBoundingClientRect(), label = getComputedStyle(cell, '::before').content;
            if (box.left < 0 || box.right > innerWidth || box.height === 0)
              found.push('hides ' + cell.dataset.name + ' ' + cell.textContent);
            if (cell.classList.contains('n') && label !== '"' + cell.dataset.name + '"')
              found.push('does not name ' + cell.textContent);
          }
          return found.slice(0, 5).map(text => table.caption.textContent + ': ' + text);
        })""")


def check_print(browser, pdf_file):
    pdf = base64.b64decode(browser.call("Page.printToPDF", preferCSSPageSize=True, printBackground=False)["data"])
    pdf_file.write_bytes(pdf)
    info = subprocess.run(["pdfinfo", "-l", "999", pdf_file], capture_output=True, text=True, check=True).stdout
    sizes = re.findall(r"Page +\d+ size: +([\d.]+) x ([\d.]+)", info)
    found = [f"a printed page of {w} x {h} points" for w, h in sizes
             if abs(float(w) - A4_POINTS[0]) > 1.5 or abs(float(h) - A4_POINTS[1]) > 1.5]
    printed = subprocess.run(["pdftotext", pdf_file, "-"], capture_output=True, text=True, check=True).stdout
    on_screen = browser.value("document.querySelector('main').innerText")

    def letters(text):  # lines break elsewhere in print
        return re.sub(r"[\W_]+", "", text)
    in_print, lost = letters(printed), []
    for line in on_screen.splitlines():
        for word in line.split():
            if len(letters(word)) > 3 and len(word) < 30 and letters(word) not in in_print:
                lost.append(word)
    if not sizes:
        found.append("nothing was printed")
    return found + ([f"not in print: {' '.join(lost[:10])}"] if lost else [])


def paper_used(pdf_file):
    """Of each printed page the share of its height down to the lowest ink."""
    shares = []
    pages = subprocess.run(["pdftoppm", "-r", "24", "-gray", pdf_file], capture_output=True, check=True).stdout
    while pages:  # one picture after another: P5, width height, greatest grey, the rows
        head = re.match(rb"P5\s(\d+)\s(\d+)\s255\s", pages)
        width, height = int(head[1]), int(head[2])
        rows = pages[head.end():head.end() + width * height]
        pages = pages[head.end() + width * height:]
        inked = [y for y in range(height) if min(rows[y * width:(y + 1) * width]) < 200]
        shares.append((max(inked, default=0) + 1) / height)
    return shares


def check_sheets(browser, pdf_file, most):
    """No heading stands alone at the foot of a sheet, none but the last is half empty, nothing is smaller than 8
    points, the first serves by itself, and there are no more than wanted."""
    used = paper_used(pdf_file)
    found = [f"sheet {i + 1} of {len(used)} is used to {share:.0%}" for i, share in enumerate(used[:-1]) if share < 0.6]
    if most and len(used) > most:
        found.append(f"{len(used)} sheets and not {most}")
    headings = set(browser.value("[...document.querySelectorAll('h2, h3, caption')].map(e => e.textContent.trim())"))
    for number in range(1, len(used) + 1):
        text = subprocess.run(["pdftotext", "-layout", "-f", str(number), "-l", str(number), pdf_file, "-"],
                              capture_output=True, text=True, check=True).stdout
        lines = [line.strip() for line in text.splitlines() if line.strip()]
        if lines and lines[-1] in headings:
            found.append(f"sheet {number} ends with the heading \"{lines[-1]}\"")
        if number == 1:
            letters = re.sub(r"[\W_]+", "", text)
            wanted = browser.value("['p.verdict', 'header .caution', '#best tbody .minutes', '#doubts-heading']"
                                   ".map(s => document.querySelector(s)).filter(e => e).map(e => e.textContent)")
            found += [f"not on the first sheet: {words}" for words in wanted
                      if re.sub(r"[\W_]+", "", words)[-20:] not in letters]
    browser.call("Emulation.setEmulatedMedia", media="print")
    browser.size(695, 1000, 1)  # an A4 sheet's width without its margins
    small = browser.value("""
        [...new Set([...document.querySelectorAll('main *, header *')].filter(e => !e.closest('svg') &&
            [...e.childNodes].some(n => n.nodeType === 3 && n.data.trim()) &&
            parseFloat(getComputedStyle(e).fontSize) * 0.75 < 7.99).map(e => e.tagName + ' ' + e.className))]""")
    wide = browser.value("document.scrollingElement.scrollWidth")
    browser.call("Emulation.setEmulatedMedia", media="")
    browser.size(*WIDE)
    if small:
        found.append("smaller than 8 points in print: " + ", ".join(small[:5]))
    if wide > 696:
        found.append(f"{wide} px wide in print: all of it is made smaller")
    return found


def check_page(browser, page, folder, most_sheets):
    browser.events.clear()
    browser.size(*WIDE)
    browser.call("Page.navigate", url=page.resolve().as_uri())
    browser.wait_for("Page.loadEventFired")
    found = check_width(browser, WIDE[0])
    if browser.value("document.scripts.length") != 0:
        found.append("there is a script in it")
    if browser.value("document.title") == "hostile" or browser.value("typeof hostile") != "undefined":
        found.append("text from a file ran as a script")
    if browser.value("[...document.querySelectorAll('*')].some(e => [...e.attributes].some(a => a.name.startsWith('on')))"):
        found.append("an attribute that would run a script")
    pdf_file = folder / (page.parent.name + ".pdf")
    found += check_accessibility(browser) + check_contrast(browser) + check_print(browser, pdf_file)
    found += check_sheets(browser, pdf_file, most_sheets)
    browser.size(*PHONE)
    found += check_width(browser, PHONE[0]) + check_keyboard(browser) + check_blocks(browser)
    found += ["phone: " + text for text in check_accessibility(browser)]
    browser.call("Emulation.setEmulatedMedia", features=[{"name": "prefers-color-scheme", "value": "dark"}])
    found += ["dark: " + text for text in check_contrast(browser)]
    browser.call("Emulation.setEmulatedMedia", features=[])
    return [f"{page}: {text}" for text in found + complaints(browser)]


def save_pictures(browser, page, folder):
    def shot(name, width, height, scale, **clip):
        browser.size(width, height, scale)
        picture = browser.call("Page.captureScreenshot", captureBeyondViewport=True, **clip)["data"]
        (folder / f"{page.parent.name}-{name}.png").write_bytes(base64.b64decode(picture))

    def strips(name, width, height, scale, most):
        browser.size(width, height, scale)
        whole = browser.value("document.scrollingElement.scrollHeight")
        for i in range(min(most, -(-whole // height))):
            shot(f"{name}-{i}", width, height, scale,
                 clip={"x": 0, "y": i * height, "width": width, "height": height, "scale": 1})
    strips("wide", 1400, 1400, 1, 12)
    strips("phone", 360, 800, 2, 24)
    browser.call("Emulation.setEmulatedMedia", features=[{"name": "prefers-color-scheme", "value": "dark"}])
    strips("dark", 1400, 1400, 1, 12)
    browser.call("Emulation.setEmulatedMedia", features=[])


def main(arguments):
    pictures = None
    if "--pictures" in arguments:
        at = arguments.index("--pictures")
        pictures = pathlib.Path(arguments[at + 1])
        arguments = arguments[:at] + arguments[at + 2:]
    most_sheets = None
    if "--sheets" in arguments:
        at = arguments.index("--sheets")
        most_sheets = int(arguments[at + 1])
        arguments = arguments[:at] + arguments[at + 2:]
    program, pages = arguments[0], [pathlib.Path(page) for page in arguments[1:]]
    wrong = []
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as scratch:
        folder = pictures or pathlib.Path(scratch)
        browser = Browser(program, scratch + "/profile")
        try:
            browser.attach()
            for page in pages:
                wrong += check_page(browser, page, folder, most_sheets)
                if pictures:
                    save_pictures(browser, page, pictures)
        finally:
            browser.process.kill()
            browser.process.wait()
    for text in wrong:
        print(text)
    if wrong:
        return 1
    print("pages:", len(pages))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
