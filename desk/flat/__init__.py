"""From parts to what the router gets: operations, sheets, drawings, lists. It decides on no conflict."""
