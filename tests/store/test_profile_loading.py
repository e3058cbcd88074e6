"""Profiles: the format, its refusals with places, and layers folded into one."""

from pathlib import Path

import pytest

from benchlink.core.document import Scalar
from benchlink.core.identity import Identity
from benchlink.core.intent import Intent, Owner
from benchlink.errors import FileError
from benchlink.store.places import profiles_folder
from benchlink.store.profiles import load_profile, shipped_profiles

HEAD = "benchlink-profile: 1\ntitle: T\nlayer: {layer}\n"


class Shelf:
    """A folder of profiles, with nothing shipped."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        (folder / "shipped").mkdir()

    def put(self, name: str, body: str, layer: str = "baseline") -> Path:
        path = self.folder / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(HEAD.format(layer=layer) + body, encoding="utf-8")
        return path

    def load(self, name: str) -> Intent:
        return load_profile(str(self.folder / name), self.folder / "shipped")

    def refusals(self, name: str) -> list[tuple[str, int, str]]:
        with pytest.raises(FileError) as caught:
            self.load(name)
        return [
            (Path(p.place.file).name, p.place.line, p.text)
            for p in caught.value.problems
        ]


@pytest.fixture
def shelf(tmp_path: Path) -> Shelf:
    return Shelf(tmp_path)


def given_of(intent: Intent, name: str) -> str:
    node = intent.wanted[name].given
    assert isinstance(node, Scalar)
    return node.text


def test_a_setting_is_a_value_or_a_table_with_its_reason(shelf: Shelf) -> None:
    shelf.put(
        "a.yaml",
        "settings:\n  x: on\n  y: [1, 2]\n"
        "  z: {value: 14.4, reason: why, tolerance: 0.05, group: pack}\n",
    )

    wanted = shelf.load("a.yaml").wanted

    assert list(wanted) == ["x", "y", "z"]
    z = wanted["z"]
    assert (z.reason, z.group, str(z.tolerance)) == ("why", "pack", "0.05")
    assert (z.owner, z.place.line) == (Owner.BASELINE, 7)


@pytest.mark.parametrize(
    ("body", "line", "words"),
    [
        ("colour: red\n", 4, "does not know `colour:`"),
        ("fits: {planes: [x]}\n", 4, "does not know `planes:`"),
        ("fits: [x]\n", 4, "must be a table"),
        ('fits: {boards: ["[ab]"]}\n', 4, "know only `*` and `?`"),
        ('fits: {boards: [""]}\n', 4, "empty pattern"),
        ("uses: {a: b}\n", 4, "must be a list"),
        ("settings: [x]\n", 4, "must be a table"),
        ("settings:\n", 4, "must be a table"),
        ("settings:\n  x:\n", 5, "has no value"),
        ("settings:\n  x: [1, {a: b}]\n", 5, "one value or a list"),
        ("settings:\n  x: {reason: y}\n", 5, "needs `value:`"),
        ("settings:\n  x: {value: {a: b}}\n", 5, "one value or a list"),
        ("settings:\n  x: {value: 1, colour: red}\n", 5, "does not know `colour:`"),
        ("settings:\n  x: {value: 1, tolerance: -1}\n", 5, "0 or more"),
        ("settings:\n  x: {value: 1, tolerance: [1]}\n", 5, "0 or more"),
        ('settings:\n  " x": 1\n', 5, "cannot name a setting"),
        ('settings:\n  "x\\r\\nkeep": 1\n', 5, "cannot name a setting"),
        ('settings:\n  "x\\u202e": 1\n', 5, "cannot name a setting"),
        ('settings:\n  "": 1\n', 5, "cannot name a setting"),
        ("waivers:\n  x:\n", 5, "needs a reason"),
        ("waivers:\n  x: {reason: y}\n", 5, "needs a reason"),
        ("waivers:\n  x: because\n", 5, "nothing to waive"),
        ("settings: {x: 1}\nbelongs-to-board: [x*]\n", 4, "belongs to the circuit"),
        ("settings: {x: 1}\nbelongs-to-aircraft: x\n", 4, "belongs to the single"),
        ("uses: [none.yaml]\n", 4, "neither beside this file nor"),
        ('uses: ["a\\0b"]\n', 4, "neither beside this file nor"),
        ("uses: [a.yaml]\n", 4, "round in circles"),
    ],
)
def test_each_mistake_names_its_place(
    body: str, line: int, words: str, shelf: Shelf
) -> None:
    shelf.put("a.yaml", body)

    [found] = shelf.refusals("a.yaml")

    assert found[:2] == ("a.yaml", line)
    assert words in found[2]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("title: T\nbenchlink-profile: 1\n", "begins with `benchlink-profile: 1`"),
        ("benchlink-profile: 2\nnew-key: 1\n", "version 1, not the text '2'"),
        ("benchlink-profile: [1]\n", "version 1, not a list"),
        ("- a\n", "not a list"),
        ("benchlink-profile: 1\nlayer: kit\n", "needs `title:`"),
        ("benchlink-profile: 1\ntitle: T\n", "needs `layer:`"),
        ("benchlink-profile: 1\ntitle: T\nlayer: top\n", "baseline, kit, fitted"),
    ],
)
def test_the_head_is_checked(text: str, words: str, shelf: Shelf) -> None:
    (shelf.folder / "a.yaml").write_text(text, encoding="utf-8")

    [found] = shelf.refusals("a.yaml")

    assert words in found[2]


def test_mistakes_of_all_files_come_in_one_run(shelf: Shelf) -> None:
    shelf.put("base.yaml", "colour: red\nsettings:\n  x:\n")
    shelf.put("torn.yaml", "settings: {x: 1, x: 2}\n")
    shelf.put("kit.yaml", "uses: [base.yaml, torn.yaml]\nshape: round\n", "kit")

    places = [(name, line) for name, line, _ in shelf.refusals("kit.yaml")]

    assert places == [
        ("base.yaml", 4),
        ("base.yaml", 6),
        ("kit.yaml", 5),
        ("torn.yaml", 4),
    ]


def test_the_more_specific_layer_wins_in_the_place_of_the_baseline(
    shelf: Shelf,
) -> None:
    shelf.put("base.yaml", "settings: {a: 1, b: 1, c: 1}\n")
    shelf.put("kit.yaml", "uses: base.yaml\nsettings: {d: 2, b: 2}\n", "kit")
    shelf.put("lw.yaml", "uses: [kit.yaml, base.yaml]\nsettings: {a: 3}\n", "fitted")

    intent = shelf.load("lw.yaml")

    assert {n: given_of(intent, n) for n in intent.wanted} == {
        "a": "3",
        "b": "2",
        "c": "1",
        "d": "2",
    }
    assert list(intent.wanted) == ["a", "b", "c", "d"]
    assert intent.owner_of("b") is Owner.KIT


def test_layers_win_by_kind_whatever_the_order_of_uses(shelf: Shelf) -> None:
    shelf.put("base.yaml", "settings: {a: 1}\n")
    shelf.put("kit.yaml", "settings: {a: 2}\n", "kit")
    shelf.put("lw.yaml", "uses: [kit.yaml, base.yaml]\n", "fitted")

    assert given_of(shelf.load("lw.yaml"), "a") == "2"


def test_of_two_kits_the_later_wins(shelf: Shelf) -> None:
    shelf.put("one.yaml", "settings: {a: 1}\n", "kit")
    shelf.put("two.yaml", "settings: {a: 2}\n", "kit")
    shelf.put("lw.yaml", "uses: [one.yaml, two.yaml]\n", "fitted")

    assert given_of(shelf.load("lw.yaml"), "a") == "2"


def test_names_and_waivers_of_all_layers_count(shelf: Shelf) -> None:
    shelf.put(
        "base.yaml",
        'settings: {log.rate_hz: 9}\nbelongs-to-board: ["accel.*"]\n'
        'belongs-to-aircraft: ["tilt.*"]\n',
    )
    shelf.put("lw.yaml", "uses: base.yaml\nwaivers: {log.rate_hz: why}\n", "fitted")

    intent = shelf.load("lw.yaml")

    assert intent.owner_of("accel.x") is Owner.BOARD
    assert intent.owner_of("tilt.left") is Owner.FITTED
    assert intent.waivers["log.rate_hz"].reason == "why"


def test_a_circle_is_refused_where_it_closes(shelf: Shelf) -> None:
    shelf.put("a.yaml", "uses: [b.yaml]\n")
    shelf.put("b.yaml", "\nuses: [a.yaml]\n")

    [(name, line, words)] = shelf.refusals("a.yaml")

    assert (name, line) == ("b.yaml", 5)
    assert "circles" in words


def test_a_baseline_cannot_be_built_on_a_kit(shelf: Shelf) -> None:
    shelf.put("kit.yaml", "", "kit")
    shelf.put("base.yaml", "uses: [kit.yaml]\n")

    [(_, line, words)] = shelf.refusals("base.yaml")

    assert line == 4
    assert "is a kit profile" in words


def test_a_chain_without_end_is_refused(shelf: Shelf) -> None:
    for number in range(30):
        shelf.put(f"{number}.yaml", f"uses: [{number + 1}.yaml]\n")
    shelf.put("30.yaml", "")

    [(name, _, words)] = shelf.refusals("0.yaml")

    assert name == "19.yaml"
    assert "more than 20" in words


def test_layers_for_different_aircraft_do_not_fold(shelf: Shelf) -> None:
    shelf.put("base.yaml", "aircraft-type: tilt-rotor\n")
    shelf.put("kit.yaml", "uses: base.yaml\naircraft-type: glider\n", "kit")

    [(name, _, words)] = shelf.refusals("kit.yaml")

    assert name == "kit.yaml"
    assert "glider" in words


@pytest.mark.parametrize(
    ("base", "kit", "common"),
    [
        ("[a*]", "[ab]", ("ab",)),
        ("[ab]", "[a*]", ("ab",)),
        ("[]", "[b]", ("b",)),
        ("[b]", "[]", ("b",)),
        ("[a, b]", "[b, c]", ("b",)),
        ('["1.4*"]', '["1.4.?"]', ("1.4.?",)),
    ],
)
def test_only_what_all_layers_fit_is_fitted(
    base: str, kit: str, common: tuple[str, ...], shelf: Shelf
) -> None:
    shelf.put("base.yaml", f"fits: {{boards: {base}}}\n")
    shelf.put("kit.yaml", f"uses: base.yaml\nfits: {{boards: {kit}}}\n", "kit")

    assert shelf.load("kit.yaml").fits.board_types == common


@pytest.mark.parametrize(
    ("base", "kit"), [("[a]", "[b]"), ("[a?]", '["a*"]'), ('["1.*2"]', '["1.4*"]')]
)
def test_layers_that_fit_nothing_in_common_are_refused(
    base: str, kit: str, shelf: Shelf
) -> None:
    shelf.put("base.yaml", f"fits: {{firmware: {base}}}\n")
    shelf.put("kit.yaml", f"uses: base.yaml\nfits: {{firmware: {kit}}}\n", "kit")

    if kit == '["a*"]':
        assert shelf.load("kit.yaml").fits.firmware == ("a?",)
        return
    assert "no board fits both" in shelf.refusals("kit.yaml")[0][2]


def test_uses_prefers_the_file_beside_to_the_shipped_one(shelf: Shelf) -> None:
    shelf.put("shipped/base.yaml", "settings: {a: shipped}\n")
    shelf.put("kit.yaml", "uses: [base.yaml]\n", "kit")
    assert given_of(shelf.load("kit.yaml"), "a") == "shipped"

    shelf.put("base.yaml", "settings: {a: beside}\n")
    assert given_of(shelf.load("kit.yaml"), "a") == "beside"


@pytest.mark.parametrize("name", ["lapwing", "lapwing.yaml"])
def test_a_shipped_profile_is_found_by_its_name(name: str) -> None:
    assert load_profile(name).title == "Lapwing baseline"
    assert "lapwing" in shipped_profiles()


@pytest.mark.parametrize("name", ["lapwin", "../profiles/lapwing", "", "a\0b"])
def test_an_unknown_profile_names_the_known_ones(name: str, tmp_path: Path) -> None:
    with pytest.raises(FileError, match="no profile") as caught:
        load_profile(name, profiles_folder() if name == "lapwin" else tmp_path)
    assert ("lapwing" in caught.value.hint) is (name == "lapwin")


def test_a_profile_in_another_encoding_is_refused(shelf: Shelf) -> None:
    (shelf.folder / "a.yaml").write_bytes(b"\xff\xfe")

    with pytest.raises(FileError, match="is not UTF-8 text"):
        shelf.load("a.yaml")


def test_the_baseline_fits_the_boards_it_was_made_for() -> None:
    fits = load_profile("lapwing").fits

    assert fits.accepts(Identity(board_type="wader", firmware="1.4.2"))
    assert not fits.accepts(Identity(board_type="wader", firmware="2.0"))
