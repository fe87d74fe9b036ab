"""Pictures of whatever an action file may hold: well-formed, without a warning, with all words on the sheet.

References: expat for XML 1.0; SVG 1.1, 9.3 (a negative radius is an error); matplotlib's own measure of a line of type, and its
warning of a letter that a font has not.
"""

import re
import warnings
from xml.etree import ElementTree

import numpy as np
import pytest
from hostile import NAMES, action, named, shapes, swinging

from anim_lessons import ActionError, pictures
from anim_lessons.light_table import picture as still
from anim_lessons.light_table.still import still as left_behind
from anim_lessons.model.printable import visible
from anim_lessons.pictures import film, skin

PICTURES = {
    "contact sheet": pictures.contact_sheet,
    "drawing": lambda action: pictures.drawing(action, 2),
    "onion skin": lambda action: pictures.onion_skin(action, 2),
    "path of action": pictures.path_of_action,
    "timing chart": pictures.timing_chart,
    "spacing graph": pictures.spacing_graph,
    "bend graph": pictures.bend_graph,
}


@pytest.fixture(autouse=True)
def no_warning():
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        yield


def read(svg):
    """An SVG as XML, with no number in it that is none and no negative radius."""
    tree = ElementTree.fromstring(svg)
    for node in tree.iter():
        for name, value in node.attrib.items():
            if name not in ("aria-label", "id") and not name.endswith("href"):
                assert not re.search(r"\b(nan|inf)\b", value), (node.tag, name, value[:60])
        assert float(node.get("r", 0)) >= 0
    return tree


@pytest.mark.parametrize("kind", PICTURES)
def test_names_of_every_kind_make_well_formed_pictures(kind):
    picture = PICTURES[kind](named())
    read(pictures.svg(picture))
    assert picture._repr_png_().startswith(b"\x89PNG")
    assert picture.says == visible(picture.says)


def test_names_of_every_kind_go_on_paper():
    assert pictures.pdf([pictures.drawing(named(), 2)]).startswith(b"%PDF")


@pytest.mark.parametrize("name", NAMES)
def test_a_title_of_any_kind_stays_on_the_sheet(name):
    made = action(swinging(4, 2), title=name, by=name)
    for kind in ("contact sheet", "drawing"):
        picture = PICTURES[kind](made)
        picture.canvas.draw()
        for text in picture.axes[0].texts:
            box = text.get_window_extent()
            assert -1 <= box.x0 and box.x1 <= picture.bbox.width + 1, (kind, text.get_text())
    words = [text.get_window_extent() for text in pictures.contact_sheet(made).axes[0].texts[:2]]
    assert not words[0].overlaps(words[1])


def test_a_letter_that_the_font_has_not_is_seen_to_be_missing():
    """The font that matplotlib brings has no Chinese and no pictures of controls, and has the stand-in. Seen."""
    texts = [text.get_text() for text in pictures.contact_sheet(action(swinging(4, 2), title="波 wave\x07 ɕ")).axes[0].texts]
    assert "\ufffd wave\ufffd ɕ" in texts


# Without a loop the same places and papers once more say the same, but for very few drawings.
@pytest.mark.parametrize("kind, made", [(kind, made) for kind, made in shapes() if made.loop or kind.startswith(("one", "two"))],
                         ids=lambda part: part if isinstance(part, str) else "")
def test_shapes_of_every_kind_make_pictures_without_a_warning(kind, made):
    for name, make in PICTURES.items():
        if name == "bend graph" and len(made.limbs[0].joints) < 2:
            continue
        read(pictures.svg(make(made)))
    if max(made.paper) < 1.0:
        with pytest.raises(ActionError, match=r"too small .* 1 mm or more"):
            pictures.png(pictures.contact_sheet(made))
    else:
        assert pictures.png(pictures.contact_sheet(made), 300).startswith(b"\x89PNG")
    for layer in skin.drawn(made, 1, construction=True):
        assert all(np.isfinite(shape).all() for shape in getattr(layer, "shapes", ()))
    next(film.frames(made))


@pytest.mark.parametrize("kind, made", [("names", named()), *shapes()], ids=lambda part: part if isinstance(part, str) else "")
def test_the_still_picture_is_well_formed_and_of_one_size(kind, made):
    svg = still.svg(made, 2)
    tree = read(svg)
    left, top, width, height = map(float, tree.get("viewBox").split())
    assert (0, 0, 594) == (left, top, width) and 594 / 4 <= height <= 594 * 4
    assert len(tree.findall("{*}text")[-1].text) < 120
    left_behind(made, 2)
