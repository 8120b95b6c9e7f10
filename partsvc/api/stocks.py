"""Addresses of the label stocks."""

from __future__ import annotations

from flask import Response

from partsvc.api.files import PDF, file
from partsvc.api.room import Room
from partsvc.domain.acts.kinds import ALL
from partsvc.work import stocks
from partsvc.work.stocks import Stocks

room = Room("stocks", __name__, description="Label stocks: what tags are printed on.")


@room.at("GET", "/stocks", roles=ALL, gives=Stocks)
def get_stocks() -> Stocks:
    """List the label stocks"""
    return stocks.all_stocks()


@room.at("GET", "/stocks/<stock>/scale.pdf", roles=ALL, gives=PDF, problems=[422])
def get_scale_page(stock: str) -> Response:
    """Print a page to try a stock with

    The outline of each label, and rulers: hold it against a sheet before the labels are spoilt.
    """
    return file(stocks.scale_page_of(stock), PDF, name=f"scale-{stock}.pdf")
