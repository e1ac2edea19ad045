"""Links as the technician orders them."""

from collections.abc import Callable
from datetime import date
from itertools import count
from pathlib import Path

import pytest

from dossier.desk.links import LinkError, Ordered, Wish, added, carry_out, minted, of, renewed, shut
from dossier.model import Notebook
from dossier.publish.folder import one_build
from dossier.publish.state import Link, State, load_state, save_state
from dossier.publish.trouble import PublishError
from tests.analysis.one_piano import notebook

TODAY = date(2026, 11, 25)
LATER = date(2026, 12, 24)
FILES = {
    "clients/quay.md": "---\nname: Bram Thistlewood\nstatus: left\n---\n",
    "clients/school.md": "---\nname: Pond Street School\n---\n",
    "instruments/wren/instrument.md": "---\nclient: school\ntitle: Room 12\n---\n",
}


@pytest.fixture(scope="module")
def shop() -> Notebook:
    return notebook({}, files=FILES)


@pytest.fixture
def mint() -> Callable[[], str]:
    numbers = count(10)
    return lambda: f"{next(numbers)}{'a' * 38}"


def made(target: str, token: str, **more: object) -> Link:
    kind = "instrument" if "/" in target else "client"
    return Link.model_validate(
        {"token": token * 40, "kind": kind, "target": target, "made": TODAY, **more}
    )


WHOLE, HERON = made("marsh", "1"), made("marsh/heron", "2", label="the tenant")
SCHOOL = made("school", "3", label="the bursar", last_day=LATER)
STATE = State(links=(WHOLE, HERON, SCHOOL))


def test_a_link_is_added_beside_the_others(shop: Notebook, mint: Callable[[], str]) -> None:
    state, ordered = added(STATE, shop, "school/wren", Wish(" a pupil ", LATER), TODAY, mint)
    (new,) = ordered.new
    assert state.links == (*STATE.links, new)
    assert (new.kind, new.target, new.label, new.last_day, new.made) == (
        "instrument",
        "school/wren",
        "a pupil",
        LATER,
        TODAY,
    )
    assert ordered.gone == ()


@pytest.mark.parametrize(
    ("target", "wish", "message"),
    [
        ("scholl", Wish(), "There is no client “scholl”. Did you mean school?"),
        ("quay", Wish(), "quay left: no address of theirs opens anything."),
        ("school/heron", Wish(), "school has no instrument “heron”. There is only wren."),
        (
            "school",
            Wish(last_day=date(2026, 11, 24)),
            "2026-11-24 is over: the link would open nothing.",
        ),
        ("school", Wish("a\nb"), "A label has one line of at most 80 letters."),
        ("school", Wish("x" * 81), "A label has one line of at most 80 letters."),
        ("school", Wish("\u202etxt"), "A label has one line of at most 80 letters."),
    ],
)
def test_what_cant_be_opened_is_not_added(
    shop: Notebook, mint: Callable[[], str], target: str, wish: Wish, message: str
) -> None:
    with pytest.raises(LinkError) as refused:
        added(STATE, shop, target, wish, TODAY, mint)
    assert str(refused.value) == message


@pytest.mark.parametrize("who", ["school", "3" * 6])
def test_a_renewed_link_keeps_its_label_and_its_last_day(
    shop: Notebook, mint: Callable[[], str], who: str
) -> None:
    state, ordered = renewed(STATE, shop, who, Wish(), TODAY, mint)
    (new,) = ordered.new
    assert (new.target, new.label, new.last_day) == ("school", "the bursar", LATER)
    assert ordered.gone == (SCHOOL,)
    assert state.links[:2] == (WHOLE, HERON)
    assert state.links[2].withdrawn == TODAY
    assert new.token != SCHOOL.token


def test_renewing_a_clients_link_leaves_that_of_the_instrument(
    shop: Notebook, mint: Callable[[], str]
) -> None:
    state, ordered = renewed(STATE, shop, "marsh", Wish("the new one"), TODAY, mint)
    assert ordered.gone == (WHOLE,)
    assert ordered.new[0].label == "the new one"
    assert HERON in state.links


def test_a_withdrawn_or_ended_link_is_renewed_by_a_new_one(
    shop: Notebook, mint: Callable[[], str]
) -> None:
    after = date(2026, 12, 25)
    state, ordered = renewed(STATE, shop, "school", Wish(), after, mint)
    assert (ordered.gone, ordered.new[0].last_day, ordered.new[0].made) == ((), None, after)
    assert len(state.links) == 4


def test_of_several_links_one_has_to_be_named(shop: Notebook, mint: Callable[[], str]) -> None:
    two = State(links=(WHOLE, made("marsh", "4", label="the aunt")))
    with pytest.raises(LinkError) as refused:
        renewed(two, shop, "marsh", Wish(), TODAY, mint)
    assert str(refused.value) == (
        "marsh has 2 open links. Say which by how its address begins: "
        "111111 (made 2026-11-25), 444444 (the aunt)."
    )
    assert renewed(two, shop, "4" * 8, Wish(), TODAY, mint)[1].gone == (two.links[1],)


def test_a_client_withdrawn_is_withdrawn_whole() -> None:
    state, ordered = shut(STATE, "marsh", TODAY)
    assert ordered == Ordered(gone=(WHOLE, HERON))
    assert [link.withdrawn for link in state.links] == [TODAY, TODAY, None]
    with pytest.raises(LinkError, match=r"^There is no open link of “marsh”\.$"):
        shut(state, "marsh", TODAY)


@pytest.mark.parametrize("who", ["marsh/heron", "2" * 6, HERON.token])
def test_one_link_is_withdrawn_alone(who: str) -> None:
    assert shut(STATE, who, TODAY)[1].gone == (HERON,)


@pytest.mark.parametrize("who", ["", "2", "22222", "mash"])
def test_nothing_is_withdrawn_by_half_a_word(who: str) -> None:
    with pytest.raises(LinkError):
        shut(STATE, who, TODAY)


def test_a_beginning_that_two_addresses_share_says_so() -> None:
    alike = made("school", "1").model_copy(update={"token": "1" * 10 + "b" * 30})
    with pytest.raises(LinkError) as refused:
        shut(State(links=(WHOLE, alike)), "1" * 8, TODAY)
    assert str(refused.value) == "2 addresses begin with “11111111”. Write more of it."


def test_links_are_shown_by_client_or_by_instrument() -> None:
    assert of(STATE, "") == STATE.links
    assert of(STATE, "marsh") == (WHOLE, HERON)
    assert of(STATE, "marsh/heron") == (HERON,)
    with pytest.raises(LinkError) as refused:
        of(STATE, "marhs")
    assert str(refused.value) == "There is no link of “marhs”. Did you mean marsh?"


def test_a_token_has_160_bits_of_its_own() -> None:
    tokens = {minted() for _ in range(100)}
    assert len(tokens) == 100
    assert all(len(token) == 40 and set(token) <= set("0123456789abcdef") for token in tokens)


def test_an_order_is_kept_and_shuts_out_a_build(tmp_path: Path) -> None:
    folder, out = tmp_path / ".dossier", tmp_path / "build"
    save_state(folder, STATE)
    ordered, trouble = carry_out(folder, out, lambda state: shut(state, "school", TODAY))
    assert ordered == Ordered(gone=(SCHOOL,))
    assert trouble == ()
    kept, _ = load_state(folder, out)
    assert kept is not None
    assert kept.links[2].withdrawn == TODAY

    def meanwhile(state: State) -> tuple[State, Ordered]:
        with pytest.raises(PublishError, match="Another build is at work"), one_build(folder, 0):
            pass
        return state, Ordered()

    carry_out(folder, out, meanwhile)


def test_damaged_links_are_not_written_over(tmp_path: Path) -> None:
    folder = tmp_path / ".dossier"
    folder.mkdir()
    (folder / "links.json").write_bytes(b"{")
    ordered, trouble = carry_out(folder, tmp_path / "build", lambda state: (state, Ordered()))
    assert ordered is None
    assert [one.code for one in trouble] == ["links-damaged"]
    assert (folder / "links.json").read_bytes() == b"{"
