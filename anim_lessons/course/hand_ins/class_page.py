"""The page of a class: one HTML file with nothing beside it and no script, to be read in any browser.

First the table, whoever needs the instructor first; then what to show again; then at which drawings the faults lie.
"""

import base64
import hashlib
import re
from html import escape
from itertools import chain
from urllib.parse import quote

from ...assist.lesson_list import LESSONS
from ...model.printable import cut, visible
from ...model.words import capital
from ...pictures.palette import INK, LIGHT, MID, PAPER
from ...rules import RULES
from .last_word import agreements
from .results import BY_STATE
from .written import in_pieces

LONGEST = 400       # letters of a sentence in the table
ASKED = {"drawings": "number of drawings", "exposure": "exposure", "hand": "a hand that drags"}     # what a brief asks of the stack
STYLE = """
:root { color-scheme: light; }
body { margin: 2em auto; max-width: 76em; padding: 0 1.5em; background: %(paper)s; color: %(ink)s;
  font: 16px/1.45 "Segoe UI", "Helvetica Neue", Arial, "Liberation Sans", sans-serif; }
h1 { font-size: 1.5em; margin: 0 0 .2em; } h2 { font-size: 1.15em; margin: 2em 0 .5em; }
p { max-width: 46em; margin: .4em 0; }
.caution { border-left: 4px solid %(ink)s; padding-left: .8em; }
.wide { overflow-x: auto; }
table { border-collapse: collapse; font-variant-numeric: tabular-nums; }
th, td { text-align: left; vertical-align: top; padding: .35em .7em; border-top: 1px solid %(light)s; overflow-wrap: anywhere; }
thead th { border-top: 0; border-bottom: 2px solid %(ink)s; }
tbody.state { border-top: 2px solid %(ink)s; }
td.number, th.number { text-align: right; overflow-wrap: normal; white-space: nowrap; }
th[scope=row] { min-width: 9em; max-width: 18em; }
td.state { white-space: nowrap; } td.says { min-width: 16em; max-width: 34em; }
td.file { min-width: 12em; max-width: 22em; color: %(mid)s; font-size: .8em; }
.needs { font-weight: 700; }
a { color: inherit; } a:focus-visible { outline: 3px solid %(ink)s; outline-offset: 2px; }
small { display: block; color: %(mid)s; font-size: .85em; }
.map td, .map th { padding: .15em .3em; text-align: center; min-width: 1.6em; }
.map th[scope=row] { text-align: left; white-space: nowrap; max-width: none; padding-right: 1em; }
.map .few { border: 1px solid %(light)s; } .map .some { border: 2px solid %(ink)s; }
.map .many { border: 2px solid %(ink)s; background: %(ink)s; color: %(paper)s; font-weight: 700; }
nav { margin: .8em 0; } nav a { margin-right: 1.2em; }
@media (max-width: 44em) {
  body { margin: 1em auto; padding: 0 1em; }
  .rows thead { display: none; }
  .rows table, .rows tbody, .rows tr { display: block; }
  .rows tr { border-top: 1px solid %(light)s; padding: .45em 0; } tbody.state { margin-bottom: .8em; }
  .rows tbody.state > tr:first-child { border-top: 0; }
  .rows th, .rows td { display: block; border: 0; padding: 0; min-width: 0; max-width: none; }
  .rows td.state, .rows td.number { display: inline-block; margin-right: .8em; }
}
@media print {
  body { margin: 0; max-width: none; padding: 0; font-size: 10.5px; background: none; }
  tr, li { break-inside: avoid; } h2 { break-after: avoid; } nav { display: none; } .wide { overflow: visible; } a { text-decoration: none; }
  th[scope=row] { min-width: 6em; } td.says { min-width: 12em; } .file { display: none; }
}
""" % {"paper": PAPER, "ink": INK, "mid": MID, "light": LIGHT}


def class_page(results, title, called=None, alike=(), links=None):
    """`class.html`, pieces of bytes.

    Parameters
    ----------
    results : Results
    title : str
        Of the homework.
    called : dict of str to str, optional
        Who -> what the page calls them, so that it tells no name; then it names no file either.
    alike : sequence of str
        Sentences on the same drawings.
    links : dict of str to str, optional
        Who -> path of their page from here.
    """
    sections = [_show_again(results), _map(results), _agreement(results), _same(alike), "" if called else _aside(results)]
    parts = [
        f"<h1>{_text(title or 'The class')}</h1>",
        f"<p>{_counts(results)}</p>",
        '<p class="caution">What stands here is measured, and is no mark: the mark is yours. If your eye and a rule differ, trust your eye, '
        "and look again at the drawing it names.</p>",
        _ways(sections),
    ]
    style = base64.b64encode(hashlib.sha256(STYLE.encode("utf-8")).digest()).decode("ascii")
    policy = f"default-src 'none'; style-src 'sha256-{style}'; base-uri 'none'; form-action 'none'"
    head = ('<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">'
            f'<meta http-equiv="Content-Security-Policy" content="{policy}">'
            '<meta name="viewport" content="width=device-width, initial-scale=1">'
            f"<title>{_text(title or 'The class')}</title><style>{STYLE}</style></head><body>\n"
            + "\n".join(filter(None, parts)) + "\n")
    return in_pieces(chain([head], _table(results, called, links or {}), ["\n".join(["", *filter(None, sections), "</body></html>\n"])]))


def _text(text, most=LONGEST):
    """A text that is nothing but text."""
    return escape(cut(visible(str(text)), most))


def _counts(results):
    states = ", ".join(f"{count} {_text(state)}" for state, count in results.states.items())
    needs = sum(one.needs_you for one in results.results)
    rest = f" {needs} need{'s' if needs == 1 else ''} you: what could not be read, or is nobody's." if needs else ""
    return f"{len(results.results)} in the class: {states}.{rest}"


def _ways(sections):
    """Links to what stands below the table."""
    found = [re.match(r'<h2 id="(\w+)">([^<]*)<', section) for section in sections]
    links = "".join(f'<a href="#{one[1]}">{one[2]}</a>' for one in found if one)
    return links and f"<nav>{links}</nav>"


# ---- the table -----------------------------------------------------------------------


def _table(results, called, links):
    file = "" if called else '<th scope="col" class="file">file</th>'
    yield ('<div class="wide rows"><table><thead><tr><th scope="col">who</th><th scope="col">state</th><th scope="col" class="number">holds</th>'
           f'<th scope="col">begin with</th>{file}</tr></thead>')
    groups = [[one for one in results.results if one.needs_you]]
    groups += [[one for one in results.results if one.state == state and not one.needs_you] for state in BY_STATE]
    for group in groups:
        if group:
            yield '<tbody class="state">'
            yield from (_row(one, called, links) for one in group)
            yield "</tbody>"
    yield ("</table></div><p><small>Holds is the share of what is asked that holds: 100% exactly where nothing is left to mend. "
           "What only follows from a cause costs nothing.</small></p>")


def _row(one, called, links):
    name = _text(called[one.who] if called else one.name, 120)
    if one.who in links:
        name = f'<a href="{escape(quote(links[one.who]))}">{name}</a>'
    file = "" if called else f'<td class="file">{_text(one.file, 120)}</td>'
    share = "" if one.row.share is None else f"{one.row.share:.0%}"
    # A note on a file, and an error, may name a person.
    says = _text(one.row.says) if not called or one.row.marks else _text(one.state)
    notes = "".join(f"<small>{_text(note)}</small>" for note in one.notes if not called or not one.unknown)
    needs = " needs" if one.needs_you else ""
    return (f'<tr><th scope="row">{name}</th><td class="state{needs}">{_text(one.state)}</td>'
            f'<td class="number">{share}</td><td class="says">{says}{notes}{_own(one)}</td>{file}</tr>')


def _own(one):
    """What the instructor said of this learner."""
    told = [("you", mark) for mark in one.said] + [("you, of an earlier one", mark) for mark in one.earlier]
    return "".join(f"<small><b>{who}:</b> {_text(': '.join(filter(None, (mark.rule, mark.mark, mark.comment))))}</small>"
                   for who, mark in told)


# ---- what to show again --------------------------------------------------------------


def _show_again(results):
    if not results.to_mend:
        return ""
    lines = []
    for name, count in results.to_mend.items():
        people = f"{count} learner{'s' if count > 1 else ''}"
        if name in RULES:
            lesson = LESSONS.get(RULES[name].lesson)
            again = f" {capital(str(lesson))}, teaches it." if lesson else ""
            lines.append(f"<li><b>{_text(name)}</b>, {people}: {_text(RULES[name].why)}.{_text(again)}</li>")
        else:
            lines.append(f"<li><b>{_text(ASKED[name])}</b>, {people}: read the brief once more together.</li>")
    return '<h2 id="again">What to show again</h2>' f"<ol>{''.join(lines)}</ol>"


def _map(results):
    """Causes by rule and drawing: at how many learners' drawing 5 the arc is to be mended."""
    found = {}
    for one in results.results:
        for rule, drawings in one.row.faults:
            for number in set(drawings) or {0}:     # 0: of the whole
                found.setdefault(rule, {}).setdefault(number, set()).add(one.who)
    if not found:
        return ""
    last = max(number for of_rule in found.values() for number in of_rule)
    numbers = [0, *range(1, last + 1)]
    head = "".join(f'<th scope="col">{number or "all"}</th>' for number in numbers)
    most = max(len(who) for of_rule in found.values() for who in of_rule.values())
    rows = [f'<tr><th scope="row">{_text(rule)}</th>' + "".join(_cell(len(found[rule].get(number, ())), most) for number in numbers) + "</tr>"
            for rule in results.columns if rule in found]
    return ('<h2 id="where">Where the faults lie</h2>' "<p>Learners with something to mend, by rule and drawing; \"all\" is a fault of the whole action. Flip "
            "the class at a drawing with a dark cell.</p>"
            f'<div class="wide"><table class="map"><thead><tr><th scope="col"></th>{head}</tr></thead><tbody>{"".join(rows)}</tbody></table></div>')


def _cell(count, most):
    if not count:
        return "<td></td>"
    weight = "many" if count > 2 * most / 3 else "some" if count > most / 3 else "few"
    return f'<td class="{weight}">{count}</td>'


def _agreement(results):
    lines = [f"<li>{_text(one)}</li>" for one in agreements(results)]
    if not lines:
        return ""
    return ('<h2 id="marks">Your marks and the rules</h2>' "<p>Of the hand-ins that you marked yourself. Kappa (Cohen 1960) is the agreement beyond what chance "
            f"would give: 1 is all, 0 is chance. A few marks say little.</p><ul>{''.join(lines)}</ul>")


# ---- the rest ------------------------------------------------------------------------


def _same(alike):
    if not alike:
        return ""
    lines = "".join(f"<li>{_text(says)}</li>" for says in alike)
    return f'<h2 id="same">The same drawings</h2><ul>{lines}</ul>'


def _aside(results):
    lines = [f"<tr><th scope=\"row\">{_text(one.name, 120)}</th><td>{_text(file, 120)}</td><td>{_text(says)}</td></tr>"
             for one in results.results for file, says in one.aside]
    if not lines:
        return ""
    return ('<h2 id="also">Also there</h2><div class="wide rows"><table><thead><tr><th scope="col">who</th><th scope="col">file</th><th scope="col">what it is'
            f'</th></tr></thead><tbody>{"".join(lines)}</tbody></table></div>')
