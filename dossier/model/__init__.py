"""Frozen records of what the notes say.  Each knows its place; none of them computes."""

from dossier.model.client import Client, Release
from dossier.model.condition import COMPONENTS, GRADES, Grade
from dossier.model.history import History, Notebook
from dossier.model.instrument import (
    Consent,
    Event,
    Instrument,
    Material,
    OwnTarget,
    ScaleString,
    Standing,
    Valuation,
)
from dossier.model.learned import Learned, LearnedCoefficient
from dossier.model.mark import MARK_KINDS, MarkKind
from dossier.model.measurement import MEASURED_KINDS, MeasuredKind, Target
from dossier.model.picture_view import VIEWS, PictureView
from dossier.model.record import Record
from dossier.model.room import Log, Room
from dossier.model.shop import Band, ClimateMonth, Clocks, Colleague, Look, Shop, Thresholds
from dossier.model.visit import (
    Advice,
    AdviceNews,
    Air,
    Cleared,
    Correction,
    EquipmentNote,
    Follow,
    Graded,
    Mark,
    Measured,
    Passage,
    Photo,
    Pitch,
    Problem,
    ProblemNews,
    Reading,
    Visit,
    Work,
)

__all__ = [
    "COMPONENTS",
    "GRADES",
    "MARK_KINDS",
    "MEASURED_KINDS",
    "VIEWS",
    "Advice",
    "AdviceNews",
    "Air",
    "Band",
    "Cleared",
    "Client",
    "ClimateMonth",
    "Clocks",
    "Colleague",
    "Consent",
    "Correction",
    "EquipmentNote",
    "Event",
    "Follow",
    "Grade",
    "Graded",
    "History",
    "Instrument",
    "Learned",
    "LearnedCoefficient",
    "Log",
    "Look",
    "Mark",
    "MarkKind",
    "Material",
    "Measured",
    "MeasuredKind",
    "Notebook",
    "OwnTarget",
    "Passage",
    "Photo",
    "PictureView",
    "Pitch",
    "Problem",
    "ProblemNews",
    "Reading",
    "Record",
    "Release",
    "Room",
    "ScaleString",
    "Shop",
    "Standing",
    "Target",
    "Thresholds",
    "Valuation",
    "Visit",
    "Work",
]
