"""Steps drawn by chance at one board: what a person, a program or a fault may try."""

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import replace
from random import Random
from typing import Final, final

from benchlink.console.lanes import Lane
from benchlink.console.live import LiveGrammar
from benchlink.core import gate
from benchlink.core.confirmation import HANDS_CLEAR, PropsOff
from benchlink.core.doors import Keys
from benchlink.core.exchange import Command
from benchlink.core.gate import Kind, Motion
from benchlink.core.hazard import Typed
from benchlink.core.jobs import Job
from benchlink.core.roles import OwnSide
from benchlink.errors import BenchError
from benchlink.faces.plain_keys import NoKeys
from benchlink.units import Power, PulseUs, Seconds
from benchlink.workflows.bench_watch import Who
from benchlink.workflows.mover import Mover
from benchlink.workflows.session import meet
from benchlink.workflows.spin_bench import SpinBench
from benchlink.workflows.spin_proof import prove_expiry
from mocks.control import tell_hands
from tests.consoles.consoles import AVOCET, SCOTER, TURNSTONE, WADER, Case, described
from tests.support.motion_referee import AIRCRAFT, OPERATOR, Referee, Tally, watching
from tests.support.people import ScriptedPerson
from tests.support.virtual_board import VirtualBoard

CASES: Final = (WADER, TURNSTONE, AVOCET, SCOTER)
OUTPUTS: Final = {"wader": "p3", "turnstone": "p3", "avocet": "3", "scoter": "3"}
US: Final = Who(aircraft=AIRCRAFT, operator=OPERATOR)
OTHERS: Final = (
    Who(aircraft="LW-04", operator=OPERATOR),
    Who(aircraft=AIRCRAFT, operator="assistant"),
)
WRONG: Final = (
    "",
    "yes",
    "y",
    "props off",
    "props off LW-05",
    "PROPS OFF LW-03",
    "--yes",
)
AN_EPISODE: Final = 80
"""Steps at one board; then a fresh one, that nobody has confirmed anything for."""
Temper = Mapping[str, float]
"""How often what is done, beside 1."""
BACK_WITHIN: Final = Seconds(30.0)
SPUN: Final = Power(0.08)
BURST: Final = Seconds(0.5)


@final
class Walker:
    """Whoever is at the bench: types what was told, and the referee hears it."""

    def __init__(self, board: VirtualBoard, referee: Referee, who: Who) -> None:
        self._board: Final = board
        self._referee: Final = referee
        self._who: Final = who
        self.says: str | None = None
        """What is typed instead of what is asked for."""
        still = ScriptedPerson(says_yes=False, typed="")
        self.tell = still.tell
        self.progress = still.progress
        self.done = still.done
        self.show_plan = still.show_plan
        self.show_scene = still.show_scene
        self.agrees = still.agrees
        self.waits_for = still.waits_for
        self.whispers = still.whispers
        self.reads = still.reads
        self.show_scene = still.show_scene

    def types_while(self, prompt: str, meanwhile: Callable[[], None]) -> str:
        meanwhile()
        return self.types(prompt)

    def types(self, prompt: str) -> str:
        if "Type `out`" in prompt or "Type `in`" in prompt:
            word = prompt.partition("`")[2].partition("`")[0]
            order = {"out": "disconnect pack", "in": "connect pack"}[word]
            tell_hands(self._board.device, order, self._board.now_us)
            return word
        if HANDS_CLEAR in prompt:
            typed = HANDS_CLEAR if self.says is None else self.says
            if typed == HANDS_CLEAR:
                self._referee.hands = self._referee.life
            return typed
        asked = prompt.partition("`")[2].partition("`")[0]
        typed = asked if self.says is None else self.says
        self._referee.typed(typed, self._who.aircraft, self._who.operator)
        return typed

    @contextmanager
    def keys(self, prompt: str) -> Iterator[Keys]:  # noqa: ARG002 - the door's shape
        yield NoKeys()


@final
class Episode:
    """One board from its power-up on, and everything that is tried at it."""

    def __init__(
        self, case: Case, random: Random, tally: Tally, temper: Temper | None = None
    ) -> None:
        self._random: Final = random
        self._board: Final = VirtualBoard(
            described(case.kind), case.options, told=case.told
        )
        self._referee: Final = Referee(self._board, tally)
        self._tally: Final = tally
        session = meet(self._board, self._board.grammar)
        self._person: Final = Walker(self._board, self._referee, US)
        self._mover: Final = Mover(session, self._person, self._clock, US)
        self._live: Final = LiveGrammar(self._board.grammar)
        self._output: Final = OUTPUTS[str(case)]
        motors = self._board.description.live.motors
        self._motors: Final = {job: name for name, job in motors.items()}
        self._kept: Final[list[PropsOff]] = []
        self._old: Final[list[Command]] = []
        self._mover.window(PulseUs(1400), PulseUs(1600))
        self._weights: Final = self._acts(temper or random.choices(TEMPERS, CHANCES)[0])

    def walk(self, steps: int) -> None:
        with watching(self._referee):
            for _ in range(steps):
                name, weight = self._weights
                (act,) = self._random.choices(name, weight)
                with suppress(BenchError):
                    act()
                self._referee.look_around()
                self._tally.steps += 1

    def _acts(self, often: Temper) -> tuple[list[Callable[[], None]], list[float]]:
        acts: dict[str, Callable[[], None]] = {
            "confirm": self._confirm,
            "confirm wrongly": self._confirm_wrongly,
            "confirm for others": self._confirm_for_others,
            "hands": self._hands,
            "wait": lambda: self._wait(self._random.uniform(0.05, 3.0)),
            "wait long": lambda: self._wait(self._random.uniform(250.0, 700.0)),
            "restart": self._restart,
            "restart by itself": self._restart_by_itself,
            "reconnect": lambda: self._connect_again(self._board.come_back),
            "pack": self._pack,
            "arm": lambda: self._outputs(live=True),
            "disarm": lambda: self._outputs(live=False),
            "prove": self._prove,
            "stir": self._stir,
            "spin": self._spin,
            "spin by an older confirmation": self._spin_by_another,
            "spin by an older permit": self._spin_by_an_old_permit,
            "another line with a permit": self._forge,
            "raw": self._raw,
            "servo": self._servo,
            "stop": self._mover.stop,
        }
        return list(acts.values()), [often.get(name, 1.0) for name in acts]

    def _clock(self) -> Seconds:
        return self._board.now

    # What people do

    def _confirm(self) -> None:
        self._person.says = None
        self._mover.confirm_props_off()
        self._keep(self._mover)

    def _confirm_wrongly(self) -> None:
        self._person.says = self._random.choice(WRONG)
        try:
            self._mover.confirm_props_off()
        finally:
            self._person.says = None

    def _confirm_for_others(self) -> None:
        who = self._random.choice(OTHERS)
        other = Mover(
            self._mover.session,
            Walker(self._board, self._referee, who),
            self._clock,
            who,
        )
        other.confirm_props_off()
        self._keep(other)

    def _keep(self, mover: Mover) -> None:
        if mover.props_off:
            self._kept.append(mover.props_off)
            del self._kept[:-4]

    def _hands(self) -> None:
        self._person.says = self._random.choice([None, "yes", None])
        try:
            self._mover.confirm_hands_clear(("an arm",))
        finally:
            self._person.says = None

    def _pack(self) -> None:
        order = self._random.choice(
            ["disconnect pack", "connect pack 16.4 4", "connect pack 11.2 3"]
        )
        tell_hands(self._board.device, order, self._board.now_us)

    def _outputs(self, *, live: bool) -> None:
        craft = self._board.device.aircraft
        craft.outputs_live = craft.radio_link = live

    def _wait(self, for_s: float) -> None:
        """Half of the time as if somebody had looked at the pack all along."""
        self._board.idle(for_s)
        if self._random.random() < 0.5:
            self._mover._pack_seen_at = self._board.now

    def _stir(self) -> None:
        self._mover._moved_unasked = True
        self._referee.stirs()

    # What happens to the board

    def _restart(self) -> None:
        *before, last = self._board.grammar.utter("restart").commands
        if before:
            self._board.ask(before)
        self._board.restart(last, BACK_WITHIN)

    def _restart_by_itself(self) -> None:
        if not self._board.description.manner.banner:
            # Its uptime alone tells of it, once it has run for longer than clocks differ.
            self._wait(20.0)
        self._board.line.from_board(self._board.now_us)
        self._board.device.power_up(self._board.now_us)
        if self._random.random() < 0.5:
            self._wait(8.0)

    def _connect_again(self, act: Callable[[Seconds], None]) -> None:
        self._referee.connections += 1
        act(BACK_WITHIN)

    # What is tried

    def _prove(self) -> None:
        self._referee.tries()
        bench = SpinBench(
            mover=self._mover, person=self._person, pause=self._board.idle
        )
        life = self._referee.life
        prove_expiry(bench, (OwnSide.LEFT,))
        self._keep(self._mover)
        self._referee.proven = life
        self._tally.proofs += 1

    def _motor(self) -> str:
        return self._random.choice(list(self._motors.values()))

    def _spin(self) -> None:
        self._referee.tries()
        power = self._random.choice([SPUN, SPUN, Power(0.05), Power(0.15), Power(0.3)])
        self._mover.spin(self._motor(), power, BURST)

    def _command(self, power: Power = SPUN) -> Command:
        verb = self._board.description.live.verbs["spin"]
        said = self._live.spin(self._motor(), power, BURST if verb.timed else None)
        (command,) = said.commands
        return command

    def _send(self, command: Command) -> None:
        """By any lane."""
        lane = self._random.choice(list(Lane)[1:])
        if lane is Lane.BULK:
            self._board.ask([command])
            return
        self._board.conversation.submit(lane, command, slot="p3")
        self._board.idle(0.2)

    def _spin_by_another(self) -> None:
        """A confirmation of somebody else, of an earlier start, or one run out."""
        self._referee.tries()
        if not self._kept:
            return
        command = self._command()
        manner = self._board.description.manner
        data = manner.bytes_of(command)
        motion = Motion(
            kind=Kind.MOTOR,
            thing="left",
            data=data,
            hazards=self._board.grammar.hazards.classify(data, Typed()),
            power=SPUN,
            run_for=BURST,
        )
        world = replace(
            self._mover._now("left"), bursts_since_confirmed=0, moved_unasked=False
        )
        if self._referee.stirred:
            world = replace(world, moved_unasked=True)
        given = gate.permit(
            motion, world, self._random.choice(self._kept), self._clock()
        )
        self._send(replace(command, permit=given))

    def _spin_by_an_old_permit(self) -> None:
        self._referee.tries()
        with suppress(BenchError):
            self._old.append(self._mover.permitted_burst(self._motor(), SPUN, BURST))
            del self._old[:-4]
            self._board.idle(self._random.choice([0.0, 0.6, 2.0]))
        if self._old:
            self._send(self._random.choice(self._old))

    def _forge(self) -> None:
        """A permit that was given for one line goes with another."""
        self._referee.tries()
        burst = self._mover.permitted_burst(self._motor(), Power(0.05), BURST)
        self._send(replace(self._command(Power(0.9)), permit=burst.permit))

    def _raw(self) -> None:
        """Lines as somebody might type them, with hands clear or not, and no permit."""
        self._referee.tries()
        plain = self._command(self._random.choice([SPUN, Power(0.5)]))
        line = self._random.choice(
            [plain.line, plain.line.upper(), plain.line.replace(" ", "  "), ""]
        )
        hands = self._mover.session.hands
        given = self._random.choice([None, hands])
        self._send(replace(plain, line=line, hands=given))

    def _servo(self) -> None:
        self._mover.known({self._output: Job.TILT_LEFT})
        at = self._mover.at(self._output) or PulseUs(1500)
        hop = self._random.choice([-60, 60, 200, 20])
        self._mover.drive(self._output, PulseUs(at + hop))


BREAKING: Final = (
    "wait long",
    "restart",
    "restart by itself",
    "reconnect",
    "pack",
    "arm",
    "stir",
    "confirm for others",
)
TEMPERS: Final[tuple[Temper, ...]] = (
    # Nobody ever confirms.
    {"confirm": 0, "prove": 0, "raw": 3, "spin": 4, "wait long": 0.2},
    # A careful hand: what was confirmed mostly counts.
    {
        "confirm": 8,
        "prove": 3,
        "hands": 3,
        "servo": 3,
        "disarm": 6,
        "spin": 12,
        **dict.fromkeys(BREAKING, 0.12),
    },
    # A careless one: confirmed once in a while, and time and cables go by.
    {
        "confirm": 0.9,
        "prove": 0.7,
        "hands": 2,
        "disarm": 2,
        "spin": 6,
        "spin by an older confirmation": 5,
        "spin by an older permit": 3,
        "raw": 2,
    },
)
CHANCES: Final = (2, 2, 6)


def careful_but(**often: float) -> Temper:
    """Somebody who does all that is needed, and one thing too much."""
    careful = dict.fromkeys(BREAKING, 0.0) | {"confirm": 3, "prove": 3, "hands": 3}
    return careful | {name.replace("_", " "): weight for name, weight in often.items()}


def walk(
    seed: int, steps: int, temper: Temper | None = None, *, until_wrong: bool = False
) -> Tally:
    """So many steps, at board after board."""
    random, tally = Random(seed), Tally()  # noqa: S311 - a seeded generator is the point
    while tally.steps < steps and not (until_wrong and tally.wrong):
        case = CASES[tally.steps // AN_EPISODE % len(CASES)]
        left = steps - tally.steps
        Episode(case, random, tally, temper).walk(min(AN_EPISODE, left))
    return tally
