"""What can be typed, by the description and the settings; and what is shown of bytes."""

from benchlink.console.charset import Charset
from benchlink.console.offers import MOST, Offer, Offers, offers_of
from benchlink.console.overheard import Overheard
from tests.console.test_talking import grammar, snapshot


def lines(console: str, typed: str) -> list[str]:
    offers = offers_of(grammar(console), snapshot(console))
    return [offer.line for offer in offers.after(typed)]


def test_settings_are_offered_as_they_are_asked_for_and_written() -> None:
    assert "let tilt.left.rate_hz be " in lines("wader", "LET TILT.L")
    assert lines("wader", "let tilt.left.rate_hz be ") == [
        "let tilt.left.rate_hz be 50"
    ]
    assert lines("wader", "recite tilt.left.rate") == ["recite tilt.left.rate_hz"]
    assert "AT+TLC=" in lines("avocet", "at+tlc")
    assert "tilt-L hz " in lines("knot", "tilt-L h")
    assert "lay tilt/left/rate " in lines("dunlin", "lay tilt/left/r")


def test_verbs_and_modes_are_offered_and_what_only_moves_is_not() -> None:
    for line in ("plate", "state", "keep", "words", "halt"):
        assert line in lines("wader", line[:2])
    for moves in ("whirl", "swing", "slack"):
        assert lines("wader", moves) == []
    assert "edit" in lines("dunlin", "ed")
    assert "*IDN?" in lines("scoter", "*id")


def test_no_more_is_offered_than_anybody_looks_through() -> None:
    many = Offers(tuple(Offer(line=f"line {n:05}") for n in range(10 * MOST)))
    assert len(many.after("line")) == MOST


def heard(console: str, said: bytes, sent: str = "") -> tuple[str, ...]:
    ears = Overheard(grammar(console).description.manner)
    if sent:
        ears.sent(sent)
    return (*ears.feed(said), *ears.rest())


def test_echo_prompt_and_blank_lines_are_left_out_and_nothing_else() -> None:
    said = b"@ plate\r\ntype wader\r\n\r\nplate\r\ndone\r\n@ "
    assert heard("wader", said, "plate") == ("type wader", "plate", "done")
    assert heard("wader", b"plate\r\n", "plate") == ()
    assert heard("wader", b"plate\r\n") == ("plate",)


def test_a_question_that_has_no_line_end_is_shown_once() -> None:
    ears = Overheard(grammar("turnstone").description.manner)
    assert ears.feed(b"store 60 rows? (y/n) ") == ()
    assert ears.rest() == ("store 60 rows? (y/n) ",)
    assert ears.rest() == ()
    assert ears.feed(b"\r\n60 rows stored\r\n[4]> ") == ("60 rows stored",)
    assert ears.rest() == ()


def test_of_an_unknown_console_all_is_shown() -> None:
    ears = Overheard()
    assert ears.feed(b"> plate\r\nplate\r\n\r\n") == ("> plate", "plate", "")
    ears.feed(b"login: ")
    assert ears.rest() == ("login: ",)
    assert Charset.UNSAID.held("\x07") in "".join(ears.feed(b"\x07\r\n"))
