"""Bin models, orders, the stock ledger, rules, handouts and stays."""

from outreach.bins.models.carried import CarriedBin
from outreach.bins.models.counts import StockCount
from outreach.bins.models.handouts import Handout, HandoutQuerySet, Stay
from outreach.bins.models.pauses import Pause, PauseQuerySet
from outreach.bins.models.promises import Promise, PromiseQuerySet
from outreach.bins.models.rules import RuleException, RuleExceptionQuerySet, RuleVersion
from outreach.bins.models.stock import (
    BinModel,
    BinOrder,
    StockBalance,
    StockMovement,
    StockMovementQuerySet,
    StockPlace,
)

__all__ = [
    "BinModel",
    "BinOrder",
    "CarriedBin",
    "Handout",
    "HandoutQuerySet",
    "Pause",
    "PauseQuerySet",
    "Promise",
    "PromiseQuerySet",
    "RuleException",
    "RuleExceptionQuerySet",
    "RuleVersion",
    "Stay",
    "StockBalance",
    "StockCount",
    "StockMovement",
    "StockMovementQuerySet",
    "StockPlace",
]
