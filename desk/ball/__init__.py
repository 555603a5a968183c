"""How a ball behaves in the cabinet: where its centre can be, where it comes to rest."""
