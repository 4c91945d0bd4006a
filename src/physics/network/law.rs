//! What a link takes from the head of the water, and how steeply that grows with the flow.
//!
//! Contract: the loss rises with the flow at every flow, backward ones too, so that the search above
//! has one answer.

use super::parts::Part;
use crate::friction::Evaluator;
use crate::pump::Curve;
use crate::{OutOfRange, above_zero, not_negative, pipe, within};

/// The loss of one link, ready for evaluation.
pub(super) enum Law {
    Run(Evaluator),
    Pump(Curve),
}

impl Law {
    /// Head lost in m, with the sign of the flow, and its slope in s/m².
    pub(super) fn loss_and_slope(&mut self, flow: f64) -> (f64, f64) {
        match self {
            Law::Run(evaluator) => evaluator.loss_and_slope(flow),
            Law::Pump(curve) => {
                // Beyond no flow the curve is continued as its mirror image, which keeps it rising.
                let size = flow.abs();
                let per_flow = curve.fall
                    * match curve.exponent {
                        2.0 => size,
                        exponent => size.powf(exponent - 1.0),
                    };
                (per_flow * flow - curve.shut_off, curve.exponent * per_flow)
            }
        }
    }
}

/// The law of a part and a flow to start the search from.
pub(super) fn of(part: &Part, viscosity: f64) -> Result<(Law, f64), OutOfRange> {
    /// A speed to start from, in m/s, and a share of a pump's greatest flow.
    const START: f64 = 0.3;
    match part {
        Part::Run(run) => {
            let law = Law::Run(Evaluator::new(run, viscosity)?);
            Ok((law, pipe::flow(START, run.bore)?))
        }
        Part::Pump(curve) => {
            not_negative(("head against a closed valve", "m"), curve.shut_off)?;
            above_zero(("fall of the curve", ""), curve.fall)?;
            within(("exponent of the curve", ""), curve.exponent, 1.0, 5.0)?;
            Ok((Law::Pump(*curve), START * curve.greatest_flow()))
        }
    }
}
