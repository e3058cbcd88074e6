"""The kept pictures show the screens as they are now.

After a change that was meant: `python -m tests.pictures`, then look at them.
"""

import pytest

from tests.pictures.drawing import words_of
from tests.pictures.gallery import FOLDER, GALLERY, file_of


@pytest.fixture(autouse=True)
def plain_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("NO_COLOR", "TEXTUAL_THEME"):
        monkeypatch.delenv(name, raising=False)


@pytest.mark.parametrize("name", GALLERY)
async def test_a_kept_picture_says_what_the_screen_says(name: str) -> None:
    kept = words_of(file_of(name).read_text(encoding="utf-8"))

    assert kept
    assert kept == words_of(await GALLERY[name]())


async def test_a_picture_is_the_same_each_time_and_asks_nobody_for_anything() -> None:
    first = await GALLERY["spin_stopped"]()

    assert first == await GALLERY["spin_stopped"]()
    assert "url(" not in first.replace("url(#", "")
    assert "Space runs the left motor" in words_of(first)


def test_no_picture_is_kept_that_the_gallery_does_not_draw() -> None:
    assert {file.stem for file in FOLDER.glob("*.svg")} == set(GALLERY)
