"""What a job will cost and how long it takes: pure sums in Decimal, hours by their spread.

Money is rounded in one place (`Currency.rounded`): each line once, each tax once on the sum of the lines that it is on,
the deposit once; everything else adds up exactly.
"""

from hulls.estimate.balance import Balance
from hulls.estimate.bill import Bill, BillBy, Charges, Paper, Reason, Used, make_bill
from hulls.estimate.errors import EstimateError
from hulls.estimate.frozen import digest, plain, read
from hulls.estimate.lines import Because, Line, LineKind, discount, hours_line, material_line, subcontract
from hulls.estimate.margin import Margin
from hulls.estimate.money import Currency, Rounding
from hulls.estimate.reckon import Estimate, Terms, reckon
from hulls.estimate.spread import LogNormal, Uncertain, likely_range
from hulls.estimate.taxes import Tax, TaxSum

__all__ = [
    "Balance",
    "Because",
    "Bill",
    "BillBy",
    "Charges",
    "Currency",
    "Estimate",
    "EstimateError",
    "Line",
    "LineKind",
    "LogNormal",
    "Margin",
    "Paper",
    "Reason",
    "Rounding",
    "Tax",
    "TaxSum",
    "Terms",
    "Uncertain",
    "Used",
    "digest",
    "discount",
    "hours_line",
    "likely_range",
    "make_bill",
    "material_line",
    "plain",
    "read",
    "reckon",
    "subcontract",
]
