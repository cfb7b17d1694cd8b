"""Passes and devices of the Door, what devices send, and what became of it."""

from outreach.door.models.closings import Closing
from outreach.door.models.devices import Device, DoorPass, DoorTable
from outreach.door.models.events import DoorEvent, EventOutcome
from outreach.door.models.money import Copay

__all__ = ["Closing", "Copay", "Device", "DoorEvent", "DoorPass", "DoorTable", "EventOutcome"]
