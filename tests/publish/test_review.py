from dossier.publish.review import ClientChanges, changes, listed

BEFORE = {
    "marlpit": ("The pitch held.", "Have it tuned by May."),
    "rushlode": ("The pitch held.",),
    "wickerlow": ("The soundboard is cracked.",),
}


def test_nothing_new_is_no_change() -> None:
    assert changes(BEFORE, BEFORE) == ()
    assert changes({}, {}) == ()


def test_a_sentence_that_moved_or_stands_twice_has_not_changed() -> None:
    before = {"marlpit": ("The pitch held.", "Have it tuned by May.")}
    after = {"marlpit": ("Have it tuned by May.", "The pitch held.", "The pitch held.")}
    assert changes(before, after) == ()


def test_each_client_has_what_is_new_and_what_is_gone_in_its_order() -> None:
    after = {**BEFORE, "marlpit": ("The pitch fell.", "The pitch held.", "Keep it off the stove.")}
    assert changes(BEFORE, after) == (
        ClientChanges(
            "marlpit",
            new=("The pitch fell.", "Keep it off the stove."),
            gone=("Have it tuned by May.",),
        ),
    )


def test_the_list_is_read_client_by_client() -> None:
    after = {
        "thornsay-school": ("The pitch held.",),
        "marlpit": ("The pitch fell.", "Have it tuned by May."),
        "rushlode": (),
    }
    assert listed(changes(BEFORE, after)) == (
        "marlpit: 1 new, 1 gone",
        "  + The pitch fell.",
        "  - The pitch held.",
        "rushlode: 0 new, 1 gone",
        "  - The pitch held.",
        "thornsay-school: a first site, with 1 sentence",
        "wickerlow: the site is closed",
    )
