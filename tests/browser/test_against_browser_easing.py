"""Easings against a browser's own animation timing.

Reference: Chromium's Web Animations API (W3C Web Animations Level 1, CSS Easing Functions
Level 1). A paused animation is set to a time and asked for its progress, so nothing
here waits for a clock. Chromium solves its curves to about 1e-7, ours to rounding.
"""
import numpy as np
import pytest

from anim_lessons.geometry import timing

CURVES = {"ease": (0.25, 0.1, 0.25, 1.0), "ease-in": (0.42, 0.0, 1.0, 1.0), "ease-out": (0.0, 0.0, 0.58, 1.0),
          "ease-in-out": (0.42, 0.0, 0.58, 1.0)}  # CSS Easing Functions Level 1; seen
TIMES = np.linspace(0, 1, 49)

PROGRESS = """([css, times]) => {
  const element = document.createElement("div");
  document.body.append(element);
  const animation = element.animate(
    [{ opacity: 0 }, { opacity: 1 }],
    { duration: 1000, easing: css, fill: "both" });
  animation.pause();
  const progress = times.map((time) => {
    animation.currentTime = 1000 * time;
    return animation.effect.getComputedTiming().progress;
  });
  animation.cancel();
  element.remove();
  return progress;
}"""


@pytest.fixture(scope="module")
def page(browser):
    page = browser.new_page()
    page.goto("about:blank")
    yield page
    page.close()


def progress(page, css, times=TIMES):
    return page.evaluate(PROGRESS, [css, list(map(float, times))])


@pytest.mark.parametrize("keyword", CURVES)
def test_keyword_curves(page, keyword):
    ours = timing.cubic_bezier(*CURVES[keyword])(TIMES)
    assert progress(page, keyword) == pytest.approx(ours.tolist(), abs=1e-6)


@pytest.mark.parametrize("four", [
    (0.3, -0.4, 0.7, 1.4), (0, 0, 1, 1), (0, 1, 0, 1), (1, 0, 1, 0), (0.9, 0.1, 0.1, 0.9), (0.17, 0.67, 0.83, 0.67),
    (0.68, -0.55, 0.27, 1.55),
])
def test_any_curve(page, four):
    theirs = progress(page, f"cubic-bezier({', '.join(map(str, four))})")
    assert theirs == pytest.approx(timing.cubic_bezier(*four)(TIMES).tolist(), abs=2e-6)


@pytest.mark.parametrize("handle", [-0.01, 1.01])
def test_it_refuses_the_curves_we_refuse(page, handle):
    with pytest.raises(Exception, match="easing"):
        progress(page, f"cubic-bezier({handle}, 0, 1, 1)")
    with pytest.raises(ValueError):
        timing.cubic_bezier(handle, 0, 1, 1)
