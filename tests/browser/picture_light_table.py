"""Takes the README's picture of the light table; not one of the tests.

    pytest tests/browser/picture_light_table.py
"""

from pathlib import Path

PICTURE = Path(__file__).parents[2] / "notebooks" / "pictures" / "light_table.png"


def test_take_the_picture(own_desk):
    desk = own_desk("elbow-locks", viewport={"width": 1300, "height": 900}, device_scale_factor=1.5)
    desk.table.get_by_role("button", name="show what is wrong").click()
    desk.go(13)
    desk.page.mouse.move(2, 2)
    desk.table.screenshot(path=PICTURE, animations="disabled")
