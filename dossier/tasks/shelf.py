"""The pictures and charts of one instrument, made once for all of its pages."""

from __future__ import annotations

from dataclasses import dataclass, replace

from dossier.edition.figures import Figure
from dossier.edition.pages import InstrumentView
from dossier.model import History
from dossier.render.beside import PictureFile, unnamed
from dossier.tasks.hand import Hand
from dossier.tasks.job import Job


@dataclass(frozen=True, slots=True)
class Shelf:
    """Pictures ready for pages and paper; the charts for screen, print and a browser, by id.

    What is printed is the owner's alone.  `clips` are the paths of recordings by their name;
    `hand` is who made them all.
    """

    files: dict[str, bytes]
    pages: dict[str, PictureFile]
    paper: dict[str, bytes]
    screen: dict[str, str]
    print: dict[str, str]
    explored: dict[str, str]
    clips: dict[str, str]
    hand: Hand


def shelf_of(job: Job, view: InstrumentView, hand: Hand) -> Shelf:
    """Pictures and charts, each made once for both editions: the bench has every one of them."""
    from dossier.edition.hands import recordings
    from dossier.pictures import LOGO_SIDE, THUMB_SIDE
    from dossier.recordings import recording

    files: dict[str, bytes] = {}
    pages: dict[str, PictureFile] = {}
    paper: dict[str, bytes] = {}
    played = recordings(job.history)
    still = job.media.keys() - played.keys()
    for name in sorted({*still, *((view.sender.logo,) if job.logo else ())}):
        is_logo = name == view.sender.logo and bool(job.logo)
        data = job.logo if is_logo and job.logo else job.media[name]
        made = hand.picture(data, name, LOGO_SIDE if is_logo else THUMB_SIDE)
        small, large = unnamed(made.small, made.suffix), unnamed(made.large, made.suffix)
        thumb = unnamed(made.thumb, made.suffix)
        files |= {small: made.small, large: made.large, thumb: made.thumb}
        pages[name] = PictureFile(small, made.width, made.height, large, thumb, made.thumb_width)
        paper[name] = made.small
    clips: dict[str, str] = {}
    for name, is_film in played.items():
        bare = recording(job.media[name], name, is_film=is_film)
        clips[name] = unnamed(bare.data, bare.suffix)
        files[clips[name]] = bare.data
    screen, explored = _drawn(job, figures_of(view), hand)
    return Shelf(files, pages, paper, screen, {}, explored, clips, hand)


def owners_share(
    job: Job,
    known: History,
    owner: InstrumentView,
    bench: InstrumentView,
    shelf: Shelf,
) -> Shelf:
    """What of the shelf is the owner's: after a change of hands, nothing seen or heard before it.

    A chart whose data is not the bench's own is drawn anew.
    """
    from dossier.edition.hands import pictures, recordings

    names = {*pictures(known), owner.sender.logo} & shelf.pages.keys()
    pages = {name: shelf.pages[name] for name in names}
    shown = {path for page in pages.values() for path in (page.path, page.large, page.thumb)}
    clips = {name: shelf.clips[name] for name in recordings(known)}
    shown |= set(clips.values())
    mine, other = figures_of(owner), set(figures_of(bench))
    anew = _drawn(job, tuple(figure for figure in mine if figure not in other), shelf.hand)
    had = (shelf.screen, shelf.explored)
    drawn = [{**before, **now} for before, now in zip(had, anew, strict=True)]
    screen, explored = (
        {figure.id: charts[figure.id] for figure in mine if figure.id in charts} for charts in drawn
    )
    return Shelf(
        files={path: data for path, data in shelf.files.items() if path in shown},
        pages=pages,
        paper={name: shelf.paper[name] for name in names},
        screen=screen,
        print=dict(shelf.hand.draw(mine, "print")) if job.pdf and mine else {},
        explored=explored,
        clips=clips,
        hand=shelf.hand,
    )


def figures_of(view: InstrumentView) -> tuple[Figure, ...]:
    """Every figure that a page draws, in the order of its parts."""
    return (
        *view.pitch_figures,
        *view.air_figures,
        *view.mark_figures,
        *view.measured_figures,
        *view.cost_figures,
        *(view.bench.string_figures if view.bench else ()),
    )


def _drawn(job: Job, figures: tuple[Figure, ...], hand: Hand) -> tuple[dict[str, str], ...]:
    """The figures for the screen, and for a browser that draws them anew."""
    from dossier.charts import LIGHT, for_screen

    if not figures:
        return {}, {}
    from dossier.edition.voice import voice_of
    from dossier.words import load

    shop = job.history.shop
    screen = hand.draw(figures, "screen")
    return (
        {name: for_screen(svg, LIGHT) for name, svg in screen.items()},
        dict(hand.explore(figures, voice_of(shop, load(shop.locale)).form)),
    )


def with_life(job: Job, view: InstrumentView, shelf: Shelf) -> Shelf:
    """The shelf with the view's own picture of the life: for a wide screen, a narrow one, paper."""
    from dossier.charts import LIGHT, for_screen
    from dossier.charts.life import NARROW, PAPER, WIDE, draw_life

    if view.life is None:
        return shelf
    sizes = (("life", WIDE), ("life-narrow", NARROW))
    screen = {
        name: for_screen(draw_life(view.life, LIGHT, width, links=True), LIGHT)
        for name, width in sizes
    }
    shelf = replace(shelf, screen={**shelf.screen, **screen})
    if not job.pdf or view.bench is not None:
        return shelf
    paper = {"life": draw_life(view.life, LIGHT, PAPER, links=False)}
    return replace(shelf, print={**shelf.print, **paper})
