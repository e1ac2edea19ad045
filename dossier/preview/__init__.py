"""What owners would read, on this machine alone and fresh at each save, before anything is built.

Nothing of it is published: no link is minted, no folder of a build is touched, and no page leaves
the machine.
"""

from dossier.preview.server import PortTakenError, Preview
from dossier.preview.site import Renewed

__all__ = ["PortTakenError", "Preview", "Renewed"]
