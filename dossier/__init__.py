"""A piano's dossier, made from its technician's notes.

Notes are read into a model, the model is analysed into statements with figures, an edition
chooses what a reader may see, and the edition is rendered and published.
"""

__version__ = "0.1.0"
