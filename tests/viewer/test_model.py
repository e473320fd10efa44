"""What a hand does to the model: pick, single out, pull apart, cut, measure. Places on the screen are computed by the test."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect
from viewing import Seen, colour_at, open_page

Look = Callable[..., Seen]
FRONT = "#eye=0_0_1400_431.8_133_533_parallel"
"""Seen straight from the front, 1400 mm high, the middle of the cabinet in the middle."""
TOP, SHELF_FRONT = (431.8, -19.05, 1056.0), (200.0, 0.0, 430.0)


@pytest.fixture(scope="module")
def page(demo: Path, browser: Browser) -> Iterator[Seen]:
    """One page for the tests that put it back as it was."""
    seen = open_page(browser, demo / "viewer.html", FRONT, 1000, 660)
    yield seen
    seen.page.context.close()
    assert not seen.faults and not seen.asked


@pytest.fixture
def front(page: Seen) -> Seen:
    for _ in range(3):
        page.page.keyboard.press("Escape")
    page.page.fill("#seek", "")
    page.page.click("#units-in")
    page.page.click("#tab-parts")
    page.page.evaluate("location.hash = ''")
    page.page.evaluate(f"location.hash = '{FRONT}'")
    page.still()
    return page


def title(seen: Seen) -> str:
    return seen.page.locator("#leaf h2").text_content() or ""


def test_a_touched_part_tells_what_to_cut(front: Seen, demo: Path) -> None:
    front.touch(*TOP)
    assert title(front) == "top"
    leaf = front.page.locator("#leaf").inner_text()
    # by hand: 34 + 2 x 3/4 = 35 1/2 in long; 0.8 in thick as the stock was measured
    for words in ("35 1/2 in", "0.8 in", "oak: white oak board", "along the length, left to right", "rests: top upon left side", "why"):
        assert words in leaf, words
    assert front.address()["part"] == "top"


def test_the_drawing_of_a_part_is_shown_as_a_picture(front: Seen, demo: Path) -> None:
    front.touch(*TOP)
    front.page.click(".drawing")
    image = front.page.locator("dialog img")
    image.wait_for()
    expect(image).to_have_js_property("complete", True)
    assert image.evaluate("image => image.naturalWidth") > 100
    assert (image.get_attribute("src") or "").startswith("blob:")
    front.page.keyboard.press("Escape")
    expect(front.page.locator("dialog")).to_have_count(0)


def test_where_a_size_came_from_leads_to_lines_of_the_spec(front: Seen) -> None:
    front.touch(*SHELF_FRONT)
    assert title(front) == "shelf 1"
    front.page.click("#leaf summary >> nth=0")
    chain = front.page.locator("#leaf .why >> nth=0").inner_text()
    # two stopped dados, 1/4 in deep less 0.5 mm: each of the 32.57 in between the sides grows by 0.2303 in
    assert "length of shelf 1 33.0306 in" in chain and "seed-cabinet.yaml, line 39" in chain and "width 34 in" in chain


def test_a_part_is_singled_out_and_the_rest_comes_back(front: Seen) -> None:
    front.touch(*TOP)
    front.page.click("text=Only this")
    back = front.address()
    assert back["only"] == "3" and back["part"] == "top"
    front.page.evaluate("location.hash = location.hash.replace(/eye=[^&]*/, 'eye=0_0_1400_431.8_133_533_parallel')")
    front.touch(*SHELF_FRONT)
    assert front.page.locator("#leaf h2").count() == 0, "nothing is left where the shelf was"
    front.page.click("text=Show all")
    front.address()
    front.touch(*SHELF_FRONT)
    assert title(front) == "shelf 1"


def test_pulled_apart_each_part_leaves_the_way_it_came_in(front: Seen, demo: Path) -> None:
    front.page.click("#rail [data-tray=apart]")
    front.page.click("text=Fully apart")
    assert front.address()["apart"] == "100"
    front.page.click("#rail [data-tray=apart]")
    front.page.evaluate("location.hash = 'apart=100&eye=0_0_3000_431.8_133_533_parallel'")
    front.still()
    # the sides leave to the left and right, the top upwards, beyond everything that was in between
    places = {"left side": (0, 0, 0), "right side": (0, 0, 0), "top": (0, 0, 0)}
    for name in places:
        front.page.locator("#leaf .item", has_text=name).first.click()
        box = front.page.locator(".mark.chosen").bounding_box()
        assert box is not None
        places[name] = (box["x"] + box["width"] / 2, box["y"] + box["height"], 0)
        front.page.keyboard.press("Escape")
    middle_x, _ = front.pixel(431.8, 0, 533)
    scale = front.pixel(1431.8, 0, 533)[0] - middle_x
    left, right = ((places[name][0] - middle_x) / scale * 1000 for name in ("left side", "right side"))
    assert left < -431.8 - 100 and right > 431.8 + 100
    assert places["top"][1] < front.pixel(0, 0, 1056.6 + 100)[1]


def test_a_cut_shows_the_wood_inside(demo: Path, look: Look) -> None:
    from_right = "#eye=90_0_1400_431.8_133_533_parallel"
    divider = (431.8, 150.0, 600.0)
    seen = look(demo / "viewer.html", from_right)
    seen.touch(*divider)
    assert title(seen) == "right side"
    seen.page.evaluate(f"location.hash = '{from_right}&cut=x_431.8_beyond'")
    seen.touch(*divider)
    assert title(seen) == "divider"
    x, y = seen.pixel(431.8, 120.0, 560.0)
    across = [sum(colour_at(seen, x, y, dx=n)) for n in range(12)]
    assert max(across) - min(across) > 100, "cut wood is hatched"
    seen.page.click("#rail [data-tray=cut]")
    seen.page.click("text=No cut")
    seen.touch(*divider)
    assert title(seen) == "right side"


@pytest.mark.parametrize(("units", "width", "height"), [("mm", "827.28 mm", "920.31 mm"), ("in", "32.57 in", "36.2325 in")])
def test_a_known_distance_is_measured(front: Seen, units: str, width: str, height: str) -> None:
    """By hand, in inches: 34 less two sides of 0.715; a side's inner front edge runs from the top of the bottom's dado, which is 0.0025
    above the bottom, up to the top: 42 - 0.8 - (3 + 1 1/4 + 0.715 + 0.0025)."""
    front.page.click(f"#units-{units}")
    front.page.click("#rail [data-tray=measure]")
    front.touch(18.161, 0, 600)
    assert front.page.locator("#tray .big").text_content() == height
    front.touch(863.6 - 18.161, 0, 600)
    assert front.page.locator("#tray .big").text_content() == width
    assert front.page.locator(".mark.measure").text_content() == width
    assert "an edge to an edge" in front.page.locator("#tray").inner_text()


def test_corners_and_faces_are_measured(front: Seen) -> None:
    front.page.click("#units-mm")
    front.page.click("#rail [data-tray=measure]")
    front.touch(-19.05, -19.05, 1066.8)
    front.touch(882.65, -19.05, 1066.8)
    assert front.page.locator("#tray .big").text_content() == "901.7 mm"  # 35 1/2 in
    front.page.click("text=Measure again")
    front.page.evaluate("location.hash = 'units=mm&eye=0_0_300_431.8_133_1020_parallel'")
    # by hand: the top stands 3/4 in before the case, which is 11 1/4 in deep less the back of 0.205 in: 11.795 in
    front.touch(431.8, -19.05, 1056.6)
    front.touch(431.8, 280.5, 1005)
    assert "a face to a face" in front.page.locator("#tray").inner_text()
    assert front.page.locator("#tray .big").text_content() == "299.59 mm"


def test_round_holes_are_measured(front: Seen) -> None:
    """The plinth's dowels are 3/8 in thick and stand a quarter of its 3 in from the edges: 1 1/2 in apart."""
    front.page.evaluate("location.hash = 'units=in&only=11&eye=60_15_200_9_160_40_parallel'")
    front.page.click("#rail [data-tray=measure]")
    face, along, radius = 18.161, 276.6695, 9.525 / 2
    front.touch(face, along, 19.05 + radius)
    assert front.page.locator("#tray .result").inner_text().split() == ["3/8", "in", "diameter"]
    front.touch(face, along, 57.15 + radius)
    assert front.page.locator("#tray .big").text_content() == "1 1/2 in"


def test_a_joint_stands_alone_opened_with_its_numbers(front: Seen, demo: Path) -> None:
    report = json.loads((demo / "report.json").read_text())
    joint = next(one for one in report["joints"] if one["id"] == "dado: shelf 1 in left side")
    front.page.click("#units-mm")
    front.page.click("#tab-joints")
    front.page.locator("#leaf .item", has_text="shelf 1 in left side").click()
    leaf = front.page.locator("#leaf").inner_text()
    play = next(fit for fit in joint["fits"] if fit["kind"] == "clearance")
    assert f"{play['measured']['mm']:g} mm" in leaf and f"{play['low_mm']:.3f} to {play['high_mm']:.3f}".rstrip("0") in leaf
    assert front.address()["open"] == "50"
    assert front.page.locator(".mark.step").all_text_contents() == ["shelf 1", "left side"]
    front.page.evaluate("location.hash = location.hash.replace(/eye=[^&]*/, 'eye=0_0_1400_431.8_133_533_parallel')")
    front.touch(*TOP)
    assert title(front) == "dado: shelf 1 in left side", "the top is not there to be touched"
    front.touch(*SHELF_FRONT)
    assert title(front) == "shelf 1"


def test_the_order_of_assembly_is_walked_through(front: Seen, demo: Path) -> None:
    steps = json.loads((demo / "report.json").read_text())["glue_up"]["steps"]
    front.page.click("#tab-order")
    assert front.page.locator("#leaf .item").count() == len(steps)
    front.page.locator("#leaf .item").first.click()
    assert title(front) == f"Step 1 of {len(steps)}"
    front.page.click("text=Next step")
    assert title(front) == f"Step 2 of {len(steps)}"
    assert front.address()["step"] == "2"


def test_an_address_shows_the_same_thing_again(front: Seen, demo: Path, look: Look) -> None:
    front.touch(*TOP)
    assert front.address()["part"] == "top"
    front.page.evaluate("location.hash = location.hash.replace('units=in', 'hide=4-6&apart=35&cut=z_500_before&units=mm')")
    told = front.address()
    again = look(demo / "viewer.html", front.page.evaluate("location.hash"))
    assert again.address() == told
    expected = {"part": "top", "hide": "4-6", "apart": "35", "cut": "z_500_before", "units": "mm", "eye": FRONT.removeprefix("#eye=")}
    assert told == expected
    assert title(again) == "top"


def test_an_address_of_nonsense_shows_the_piece(demo: Path, look: Look) -> None:
    look(demo / "viewer.html", "#eye=1e9_1e9_1e300_1e300_-1e300_1e300_parallel&cut=z_1e300_beyond&apart=1e300&only=1-1e9")
    seen = look(demo / "viewer.html", "#eye=a_b_c_d_e_f_g&part=nobody&hide=9999999-1.x&cut=q_1_z&finding=77&apart=-4&units=ell")
    assert seen.page.locator("#leaf .item").count() > 10
    assert "part" not in seen.address()


def test_parts_and_joints_are_found_by_typing(front: Seen) -> None:
    front.page.fill("#seek", "plinth dowels")
    found = front.page.locator("#leaf .item .name").all_text_contents()
    assert len(found) == 6 and all("plinth" in name for name in found)
    front.page.fill("#seek", "xyzzy")
    assert "Nothing goes by that name" in front.page.locator("#leaf").inner_text()


def test_nothing_of_a_measure_is_left_when_it_is_put_away(demo: Path, look: Look) -> None:
    seen = look(demo / "viewer.html", FRONT)
    x, y = seen.pixel(*SHELF_FRONT)
    model = seen.page.locator("#model")
    before = model.screenshot()
    seen.page.click("#rail [data-tray=measure]")
    seen.still()
    seen.page.mouse.move(*seen.pixel(0.0, 0.0, 500.0))
    seen.still()
    seen.page.keyboard.press("Escape")
    seen.page.mouse.move(x, y)
    seen.page.evaluate("document.activeElement.blur()")
    seen.still()
    assert model.screenshot() == before


def test_a_measure_follows_the_pointer_only_over_the_model(demo: Path, look: Look) -> None:
    seen = look(demo / "viewer.html", FRONT)
    seen.page.click("#rail [data-tray=measure]")
    seen.page.evaluate("document.activeElement.blur()")
    seen.still()
    model = seen.page.locator("#model")
    before = model.screenshot()
    seen.page.mouse.move(*seen.pixel(0.0, 0.0, 500.0))
    seen.still()
    assert model.screenshot() != before
    seen.page.mouse.move(990, 300)
    seen.still()
    assert model.screenshot() == before
