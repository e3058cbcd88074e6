from dataclasses import replace

import pytest
from textual import events

from benchlink.core.intent import Fits
from benchlink.errors import (
    FileError,
    PortLostError,
    SilentBoardError,
    WrongBoardError,
)
from benchlink.faces.screen.steps.opening import OpeningPage
from benchlink.faces.screen.threads.news import Errand, Progressed
from benchlink.faces.screen.values.values import ValuesPage
from tests.faces.screen.conftest import Begin
from tests.faces.screen.screen_bench import (
    LARGE,
    SMALL,
    BenchBoard,
    FakeEntrance,
    Stage,
    lw03,
    wader,
    wanted,
)

LOST = PortLostError("/dev/ttyACM0 went away", hint="Check the cable.")
SILENT = SilentBoardError("the board says nothing")


def page(stage: Stage) -> ValuesPage:
    screen = stage.app.screen
    assert isinstance(screen, ValuesPage)
    return screen


async def check(stage: Stage) -> None:
    page(stage).check()
    await stage.settle()


@pytest.mark.parametrize("size", [SMALL, LARGE])
async def test_the_page_tells_board_outputs_link_profile_and_counts(
    at_board: Begin, size: tuple[int, int]
) -> None:
    async with at_board(size=size) as stage:
        picture = stage.picture()
        for part in (
            "wader, firmware 1.4.2",
            "outputs resting",
            "/dev/ttyACM0, 115200 baud",
            "none damaged",
            "held against: LW-03 (lw-03.yaml)",
            "[0 all 61]",
            "1 <> differs 1",
            "2 [] missing 1",
            "3 !! impossible 1",
            "4 ~~ waived 1",
            "5 == as intended 1",
            "6 .. left alone 56",
            "7 ?? not understood 0",
        ):
            assert part in picture


@pytest.mark.parametrize(
    ("key", "name"),
    [
        ("1", "tilt.left.centre_us"),
        ("2", "tilt.nose.centre_us"),
        ("3", "motor.left.idle_pct"),
        ("4", "mount.yaw_deg"),
        ("5", "tilt.right.centre_us"),
    ],
)
async def test_a_number_key_shows_one_state_only(
    at_board: Begin, key: str, name: str
) -> None:
    async with at_board() as stage:
        await stage.press(key)
        assert f"> {name}" in stage.picture()
        assert stage.text("says").endswith("row 1 of 1")
        await stage.press("0")
        assert stage.text("says").endswith("of 61")


async def test_an_empty_state_says_how_to_see_the_rest(at_board: Begin) -> None:
    async with at_board() as stage:
        await stage.press("7")
        assert "No setting to show" in stage.picture()
        assert stage.text("says").endswith("row 0 of 0")


async def test_left_and_right_go_round_the_filters(at_board: Begin) -> None:
    async with at_board() as stage:
        await stage.press("right")
        assert "[1 <> differs 1]" in stage.picture()
        await stage.press("left", "left")
        assert "[7 ?? not understood 0]" in stage.picture()


async def test_a_search_narrows_the_rows_with_every_letter(at_board: Begin) -> None:
    async with at_board() as stage:
        await stage.press("slash", *"CENTRE")
        assert stage.text("says").startswith("search: CENTRE_")
        assert stage.text("says").endswith("row 1 of 4")
        await stage.press("backspace", "enter")
        assert stage.text("says").startswith("names with 'CENTR'")
        await stage.press("escape")
        assert stage.text("says").endswith("of 61")


async def test_keys_typed_into_a_search_are_letters(at_board: Begin) -> None:
    async with at_board() as stage:
        await stage.press("slash", "b", "q", "slash", "1", "r", "p", "question_mark")
        assert stage.text("says").startswith("search: bq/1rp?_")
        assert stage.entrance.board.lines == []
        await stage.press("escape")
        assert stage.text("says").endswith("of 61")


async def test_letters_close_behind_the_search_key_belong_to_the_search(
    at_board: Begin,
) -> None:
    async with at_board() as stage:
        for key, letter in (("slash", "/"), ("b", "b"), ("q", "q")):
            stage.app.post_message(events.Key(key, letter))
        await stage.settle()
        assert stage.text("says").startswith("search: bq_")


async def test_pasted_text_joins_a_search_but_is_nothing_elsewhere(
    at_board: Begin,
) -> None:
    async with at_board() as stage:
        stage.app.post_message(events.Paste("bq\x1b\nq"))
        await stage.settle()
        assert stage.text("says").endswith("of 61")
        await stage.press("slash")
        stage.app.post_message(events.Paste("yaw\x1b\nq"))
        await stage.settle()
        assert stage.text("says").startswith("search: yaw_")


async def test_arrows_still_move_while_a_search_is_typed(at_board: Begin) -> None:
    async with at_board() as stage:
        await stage.press("slash", *"tilt", "down", "down")
        assert stage.sheet.cursor == 2


async def test_what_cannot_be_compared_still_shows_what_was_asked(
    at_board: Begin,
) -> None:
    async with at_board() as stage:
        await stage.press("2")
        assert "now -   wanted 1500" in stage.text("detail")
        await stage.press("3")
        assert "now 5.5   wanted slow" in stage.text("detail")


async def test_the_row_under_the_cursor_tells_its_reason_and_place(
    at_board: Begin,
) -> None:
    async with at_board() as stage:
        detail = stage.text("detail")
        assert "tilt.left.centre_us   <> differs: apply   owner: fitted" in detail
        assert "now 1500   wanted 1512 (asked in lw-03.yaml:7:3)" in detail
        assert "reason: measured on the bench" in detail
        await stage.press("3")
        assert "must be a number, not 'slow'" in stage.text("detail")


@pytest.mark.parametrize(
    ("keys", "row"),
    [
        (("down", "down", "up"), 1),
        (("up",), 0),
        (("end",), 60),
        (("end", "down"), 60),
        (("end", "home"), 0),
        (("pagedown",), 10),
        (("pagedown", "pagedown", "pageup"), 10),
    ],
)
async def test_the_cursor_moves_and_stays_inside(
    at_board: Begin, keys: tuple[str, ...], row: int
) -> None:
    async with at_board() as stage:
        await stage.press(*keys)
        assert stage.sheet.cursor == row
        cursors = [x for x in stage.picture().splitlines() if x.startswith(" > ")]
        assert len(cursors) == 1


async def test_reading_again_shows_new_values_and_keeps_the_cursor(
    at_board: Begin,
) -> None:
    async with at_board() as stage:
        await stage.press("down", "down", "down")
        name = stage.text("detail").split()[0]
        stage.entrance.board.set("tilt.left.centre_us", "1512")
        await stage.press("r")
        assert "5 == as intended 2" in stage.picture()
        assert stage.text("detail").split()[0] == name


async def test_a_reading_shows_how_far_it_has_come(at_board: Begin) -> None:
    async with at_board() as stage:
        stage.work.holds = {Errand.READ}
        await stage.press("r")
        assert stage.text("says").startswith("reading ...")
        stage.work.post(Progressed(line="reading   24,512 bytes"))
        await stage.settle()
        assert stage.text("says").startswith("reading   24,512 bytes")


async def test_one_reading_at_a_time(at_board: Begin) -> None:
    async with at_board() as stage:
        stage.work.holds = {Errand.READ}
        before = stage.work.given.count(Errand.READ)
        await stage.press("r", "r", "r")
        assert stage.work.given.count(Errand.READ) == before + 1


async def test_the_lamp_key_works_during_a_reading(at_board: Begin) -> None:
    async with at_board() as stage:
        stage.work.holds = {Errand.READ}
        await stage.press("r", "b", "b")
        assert stage.entrance.board.lines == [("lamp", "lamp 300")] * 2
        assert stage.text("says").startswith("lamp: blinks asked for: 2")


async def test_a_console_without_a_lamp_says_so(at_board: Begin) -> None:
    plain = wader()
    verbs = {name: v for name, v in plain.verbs.items() if name != "blink"}
    board = BenchBoard(description=replace(plain, verbs=verbs))
    async with at_board(FakeEntrance(board)) as stage:
        await stage.press("b")
        assert "no way to blink a lamp" in stage.picture()
        assert board.lines == []


async def test_live_outputs_are_shouted_as_soon_as_they_are_seen(
    at_board: Begin,
) -> None:
    async with at_board() as stage:
        stage.entrance.board.virtual.device.aircraft.outputs_live = True
        await check(stage)
        assert "!! outputs LIVE: keep clear !!" in stage.picture()


async def test_a_console_that_cannot_tell_counts_as_live(at_board: Begin) -> None:
    plain = wader()
    verbs = {name: v for name, v in plain.verbs.items() if name != "readiness"}
    board = BenchBoard(description=replace(plain, verbs=verbs))
    async with at_board(FakeEntrance(board)) as stage:
        assert "?? outputs not known: treat as LIVE" in stage.picture()


async def test_a_lost_port_is_a_state_with_a_way_back(at_board: Begin) -> None:
    async with at_board() as stage:
        stage.entrance.board.trouble = LOST
        await check(stage)
        picture = stage.picture()
        assert "PORT LOST: /dev/ttyACM0 went away" in picture
        assert "Check the cable." in picture
        assert "Waiting for the same board" in picture
        assert "p leads to the list of ports" in picture
        assert "?? outputs not known: treat as LIVE" in picture
        assert "tilt.left.centre_us" in picture
        await stage.press("p")
        assert isinstance(stage.app.screen, OpeningPage)
        assert stage.entrance.closed == 1


async def test_nothing_more_is_asked_of_a_lost_port(at_board: Begin) -> None:
    async with at_board() as stage:
        stage.entrance.board.trouble = LOST
        await stage.press("r")
        assert "PORT LOST" in stage.picture()
        given = len(stage.work.given)
        await check(stage)
        await stage.press("r", "b")
        assert len(stage.work.given) == given
        assert "nothing was sent" in stage.picture()


async def test_the_lamp_key_notices_a_lost_port(at_board: Begin) -> None:
    async with at_board() as stage:
        stage.entrance.board.trouble = LOST
        await stage.press("b")
        assert "PORT LOST" in stage.picture()


async def test_a_silent_board_is_left_alone_until_it_is_read_again(
    at_board: Begin,
) -> None:
    async with at_board() as stage:
        stage.entrance.board.trouble = SILENT
        await check(stage)
        assert "NO ANSWER: the board says nothing" in stage.picture()
        given = len(stage.work.given)
        await check(stage)
        assert len(stage.work.given) == given
        stage.entrance.board.trouble = None
        await stage.press("r")
        assert "NO ANSWER" not in stage.picture()
        await check(stage)
        assert "outputs resting" in stage.picture()


async def test_another_board_on_the_same_port_is_not_taken_for_the_first(
    at_board: Begin,
) -> None:
    async with at_board() as stage:
        session = page(stage).contact.session
        page(stage).contact.session = replace(
            session, identity=replace(session.identity, number="0000-0001")
        )
        await check(stage)
        assert "ANOTHER BOARD: this was wader" in stage.picture()


async def test_a_restart_behind_our_back_makes_the_reading_old(
    at_board: Begin,
) -> None:
    async with at_board() as stage:
        stage.entrance.board.epoch += 1
        await check(stage)
        assert "the board has restarted since this reading" in stage.picture()


async def test_without_a_profile_the_settings_are_shown_alone(at_board: Begin) -> None:
    async with at_board(profile=False) as stage:
        picture = stage.picture()
        assert "no profile: settings only" in picture
        assert "wanted" not in stage.text("heads")
        assert "6 .. left alone 60" in picture


@pytest.mark.parametrize(
    "trouble",
    [FileError("lw-03.yaml has mistakes"), WrongBoardError("made for other boards")],
)
async def test_an_unusable_profile_is_told_and_the_settings_still_shown(
    at_board: Begin, trouble: FileError | WrongBoardError
) -> None:
    entrance = FakeEntrance()
    entrance.wants = trouble
    async with at_board(entrance) as stage:
        assert f"NOT COMPARED: {trouble}" in stage.picture()
        await stage.press("r")
        assert f"NOT COMPARED: {trouble}" in stage.picture()
        assert "6 .. left alone 60" in stage.picture()


async def test_a_profile_for_another_board_compares_nothing(at_board: Begin) -> None:
    entrance = FakeEntrance()
    entrance.wants = replace(lw03(), fits=Fits(board_types=("heron",)))
    async with at_board(entrance) as stage:
        assert "NOT COMPARED: 'LW-03' is made for heron" in stage.picture()
        assert "1 <> differs 0" in stage.picture()


async def test_text_from_boards_and_profiles_never_acts_on_the_screen(
    at_board: Begin,
) -> None:
    board = BenchBoard()
    board.set("craft.call", '"[bold red]x[/] [@click=q]"')
    asks = wanted("craft.call", "y", reason="[red]\x1b[2J\u202e\x9b31m", quoted=True)
    entrance = FakeEntrance(board)
    entrance.wants = replace(lw03(), wanted={asks.name: asks}, waivers={})
    async with at_board(entrance, LARGE) as stage:
        picture = stage.picture()
        assert 'now "[bold red]x[/] [@click=q]"' in picture
        assert "reason: [red]\\u{1b}[2J\\u{202e}\\u{9b}31m" in picture
        assert all(c.isprintable() or c == "\n" for c in picture)


async def test_lines_that_nobody_understands_are_rows_of_their_own(
    at_board: Begin,
) -> None:
    board = BenchBoard(damage=lambda data: data.replace(b"craft.call:", b"craft.call="))
    async with at_board(FakeEntrance(board)) as stage:
        await stage.press("7")
        assert '> craft.call= ""' in stage.picture()
        assert "not in the console description" in stage.text("detail")
