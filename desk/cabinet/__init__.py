"""From a design to the cabinet: parts with outlines and features, joints, and the ball's route as legs."""
