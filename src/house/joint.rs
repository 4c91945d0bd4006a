//! The machine at a point of its circuit: what that makes of the house.

use crate::convention;
use crate::model::{House, Joint, Layout, Mains, Point, Short, Tails};
use crate::range::Range;
use wetside_physics::pipe;

impl House {
    /// The house with the machine at a joint, as one of its points would have it: at the tails of a
    /// radiator that was taken off, those of any emitter, for nobody says which. On a one-pipe loop
    /// the piece of main under that radiator joins both hoses.
    #[must_use]
    pub fn joined(mut self, joint: Joint) -> House {
        self.joint = joint;
        if joint.point == Point::RadiatorTails {
            self.joint.host = self.any_tails();
            if self.layout == Layout::OnePipe {
                self.shorts.push(Short {
                    id: "the main under the connection".to_string(),
                    valve: self.mains.piece_as_valve(),
                    open: !self.mains.piece,
                });
            }
        }
        self
    }

    /// Tails that may be those of any emitter, without the emitter on them.
    fn any_tails(&self) -> Option<Tails> {
        let mut tails = self.emitters.iter().map(|emitter| emitter.tails);
        let first = tails.next()?;
        let mut any = tails.fold(first, |one, other| Tails {
            length: one.length.hull(other.length),
            bore: one.bore.hull(other.bore),
            roughness: one.roughness.hull(other.roughness),
            loss: one.loss,
        });
        any.loss = convention::HOST_FITTINGS.range;
        if self.more {
            any.length = any.length.hull(UNLISTED.0);
            any.bore = any.bore.hull(UNLISTED.1);
        }
        Some(any)
    }
}

/// Length and bore in m that the tails of an emitter may have.
const UNLISTED: (Range, Range) = (Range::new(0.05, 200.0), Range::new(0.003, 0.110));

impl Mains {
    /// Flow coefficient in m³/h of the piece of main between two tees, its friction factor between that
    /// of a smooth wall in fast water and that of a rough one.
    fn piece_as_valve(&self) -> Range {
        const FRICTION: Range = Range::new(0.02, 0.06);
        let passes = |factor: f64, length: f64, bore: f64, loss: f64| {
            pipe::kv_from_loss(factor * length / bore + loss, bore).unwrap_or(0.0)
        };
        let (length, loss, bore) = (self.piece_length, self.piece_loss, self.bore);
        Range::new(
            passes(FRICTION.high, length.high, bore.low, loss.high),
            passes(FRICTION.low, length.low, bore.high, loss.low),
        )
    }
}
