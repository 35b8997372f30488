"""Search the forward run: amounts that meet the aims, remedies that mend a drift; no equation of its own."""
