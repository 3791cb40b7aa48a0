"""What an eye sees of the rule and of the ball before it: heights to rows of pixels, and back.

The marks lie on the rule and are seen where they are. The ball and the tongs hang a little in
front of it, so the eye, which looks through the lens, sees them against another mark unless it is
level with them: that shift is `physics.reading.seen_height_m` and stands nowhere else. The view of
the whole corner is nobody's eye: there the ball stands before the mark that it is level with.
"""

from __future__ import annotations

from dataclasses import dataclass

from physics.reading import View, seen_height_m


@dataclass(frozen=True)
class Sight:
    """Turns heights into rows of pixels, for an eye `eye_height_m` above the floor.

    `floor_y_px` is the row of the rule's zero, counted down from the top of the picture;
    it may lie outside the picture. One class serves the wall view and the lens; in the wall view
    `standoff_m`, the ball's distance from the rule, is nothing. Rows are floats: edges, not pixels.
    """

    eye_height_m: float
    floor_y_px: float
    px_per_m: float
    standoff_m: float = View.standoff_m

    def to_px(self, height_on_rule_m: float) -> float:
        """The row of a height on the rule's own plane."""
        return self.floor_y_px - height_on_rule_m * self.px_per_m

    def to_m(self, row_px: float) -> float:
        """The height on the rule's own plane at a row."""
        return (self.floor_y_px - row_px) / self.px_per_m

    def ball_px(self, lowest_point_m: float) -> float:
        """The row against which the ball's lowest point is seen."""
        view = View(self.eye_height_m)
        seen_m = seen_height_m(
            lowest_point_m, view.eye_height_m, view.eye_distance_m, self.standoff_m
        )
        return self.to_px(float(seen_m))

    def ball_m(self, row_px: float) -> float:
        """The true height of a lowest point that is seen at a row.

        The inverse of `ball_px`, which is a straight line in the height.
        """
        at_zero, at_one = self.ball_px(0.0), self.ball_px(1.0)
        return (row_px - at_zero) / (at_one - at_zero)

    def ball_span_px(self, lowest_point_m: float, diameter_m: float) -> tuple[float, float]:
        """The rows of the ball's top and of its lowest point, both as the eye sees them."""
        return self.ball_px(lowest_point_m + diameter_m), self.ball_px(lowest_point_m)


def lens_sight(eye_height_m: float, centre_m: float, middle_y_px: float, px_per_m: float) -> Sight:
    """The sight through the lens: `centre_m` is seen at the row `middle_y_px`."""
    return Sight(eye_height_m, middle_y_px + centre_m * px_per_m, px_per_m)
