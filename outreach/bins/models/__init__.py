"""Bin models, orders, the stock ledger, rules, handouts and stays."""

from outreach.bins.models.carried import CarriedBin
from outreach.bins.models.handouts import Handout, RuleException, RuleVersion, Stay
from outreach.bins.models.stock import BinModel, BinOrder, StockBalance, StockMovement, StockPlace

__all__ = [
    "BinModel",
    "BinOrder",
    "CarriedBin",
    "Handout",
    "RuleException",
    "RuleVersion",
    "Stay",
    "StockBalance",
    "StockMovement",
    "StockPlace",
]
