"""Numbers of a comparative series: cases counted, shares with their intervals, groups compared."""
