"""The values page at any size, on its way out, and when something of ours breaks."""

import pytest

from benchlink.errors import (
    PortLostError,
    SilentBoardError,
)
from benchlink.faces.screen.desks import Asides
from benchlink.faces.screen.frame.sheet import Piece
from benchlink.faces.screen.threads.news import Errand
from benchlink.faces.screen.threads.work import carry_out
from benchlink.faces.screen.values.values import ValuesPage
from tests.faces.screen.conftest import Begin
from tests.faces.screen.screen_bench import (
    BenchBoard,
    FakeEntrance,
)

LOST = PortLostError("/dev/ttyACM0 went away", hint="Check the cable.")


async def test_five_thousand_rows_scroll_filter_and_search(at_board: Begin) -> None:
    async with at_board(FakeEntrance(BenchBoard(settings=5000))) as stage:
        assert "[0 all 5001]" in stage.picture()
        await stage.press("end")
        assert stage.text("says").endswith("row 5001 of 5001")
        name = stage.text("detail").split()[0]
        assert f"> {name}"[:20] in stage.picture()
        await stage.press("slash", *name, "enter")
        assert "row 1 of" in stage.text("says")


async def test_a_step_of_the_cursor_repaints_two_rows_of_five_thousand(
    at_board: Begin, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with at_board(FakeEntrance(BenchBoard(settings=5000))) as stage:
        drawn: list[int] = []
        draw = stage.sheet._draw_row

        def noted(index: int, width: int) -> list[Piece]:
            drawn.append(index)
            return draw(index, width)

        monkeypatch.setattr(stage.sheet, "_draw_row", noted)
        await stage.press("down")
        assert set(drawn) == {0, 1}


@pytest.mark.parametrize("key", ["q", "ctrl+q", "ctrl+c"])
async def test_leaving_closes_the_board_first(at_board: Begin, key: str) -> None:
    async with at_board() as stage:
        await stage.press(key)
        assert stage.entrance.closed == 1
        assert stage.app.return_code == 0


async def test_news_of_a_board_that_was_let_go_is_dropped(at_board: Begin) -> None:
    async with at_board() as stage:
        stage.work.holds = {Errand.READ}
        await stage.press("r", "p", "down", "enter", "v")
        stage.entrance.board.trouble = LOST
        stage.work.post(carry_out(*stage.work.held.pop(0)))
        await stage.settle()
        assert stage.entrance.opened == ["/dev/ttyACM0", "/dev/ttyUSB3"]
        assert "PORT LOST" not in stage.picture()
        stage.work.release()
        await stage.settle()
        assert "PORT LOST" in stage.picture()


async def test_the_help_opens_over_the_values_and_the_lamp_key_rests(
    at_board: Begin,
) -> None:
    async with at_board() as stage:
        await stage.press("question_mark", "b")
        assert stage.entrance.board.lines == []
        await stage.press("q")
        assert isinstance(stage.app.screen, ValuesPage)


async def test_a_window_too_small_says_so_and_recovers(at_board: Begin) -> None:
    async with at_board() as stage:
        await stage.pilot.resize_terminal(59, 15)
        await stage.settle()
        assert "This window has 59 columns and 15 lines" in stage.picture()
        assert "tilt.left" not in stage.picture()
        await stage.pilot.resize_terminal(60, 16)
        await stage.settle()
        assert "> tilt.left.centre_us" in stage.picture()
        await stage.press("down")
        assert "row 2 of 61" in stage.text("says")


@pytest.mark.parametrize("size", [(60, 16), (80, 24), (120, 40), (200, 60)])
async def test_no_line_is_wider_than_the_window(
    at_board: Begin, size: tuple[int, int]
) -> None:
    async with at_board(size=size) as stage:
        lines = stage.picture().splitlines()
        assert len(lines) == size[1]
        assert max(map(len, lines)) <= size[0]
        assert "q quit" in lines[-1]


async def test_no_meaning_hangs_on_colour_and_none_is_fixed(at_board: Begin) -> None:
    async with at_board() as stage:
        await stage.press("down")
        (style,) = [s for s in stage.styles_of("<> differs  ") if "reverse" not in s]
        assert "magenta" in style
        assert "on default" in style


async def test_a_board_that_will_not_let_go_is_left_at_the_second_asking(
    at_board: Begin, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with at_board() as stage:
        asides = Asides(let_go=lambda _job: None, by_hand=lambda _job: None)
        monkeypatch.setattr(stage.app._desks, "asides", asides)
        await stage.press("q")
        assert stage.app.return_code is None
        await stage.press("q")
        assert stage.app.return_code == 0


async def test_a_mistake_of_ours_on_the_work_thread_ends_the_program(
    at_board: Begin,
) -> None:
    entrance = FakeEntrance()
    entrance.wants = ZeroDivisionError()
    with pytest.raises(ZeroDivisionError):
        async with at_board(entrance) as stage:
            # Its news is raised in the app's own task.
            stage.app.abandon()
    assert entrance.closed == 1


async def test_every_case_of_an_error_has_its_line_where_there_is_room(
    at_board: Begin,
) -> None:
    cases = tuple(f"setting {n}: 1 / 2" for n in range(6))
    trouble = SilentBoardError("no two readings agree", details=cases, hint="Again?")
    async with at_board() as stage:
        stage.entrance.board.trouble = trouble
        await stage.press("r")
        assert "setting 3: 1 / 2" in stage.picture()
        assert "and 2 more" in stage.picture()
        assert "Again?" in stage.picture()
        await stage.pilot.resize_terminal(60, 16)
        await stage.settle()
        assert "and 5 more" in stage.picture()
        assert "r reads again" in stage.picture()
