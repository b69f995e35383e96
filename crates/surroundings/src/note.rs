//! Values outside the range that a correlation is known for, by name.

/// On which side of its range a value lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Under the low end.
    Below,
    /// Over the high end.
    Above,
}

impl Side {
    fn word(self) -> &'static str {
        match self {
            Side::Below => "below",
            Side::Above => "above",
        }
    }
}

/// A correlation used outside the range it is known for, such as `hot side up, Ra 3.0e3 below 1.0e4 (C3)`.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[error("{correlation}, {quantity} {value:.1e} {} {limit:.1e} ({key})", side.word())]
pub struct OutOfRange {
    /// The correlation in words.
    pub correlation: &'static str,
    /// The quantity that is outside, with its unit where it has one.
    pub quantity: &'static str,
    /// Its value.
    pub value: f64,
    /// Which end of the range it passes.
    pub side: Side,
    /// That end.
    pub limit: f64,
    /// Key of the source.
    pub key: &'static str,
}

/// A Nusselt number with the note of its correlation, if it was used outside its range.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Nusselt {
    /// Film coefficient times length over the conductivity of air.
    pub number: f64,
    /// The note, if any.
    pub out_of_range: Option<OutOfRange>,
}

/// A range of one quantity of one correlation.
pub(crate) struct Known {
    pub(crate) correlation: &'static str,
    pub(crate) quantity: &'static str,
    pub(crate) low: f64,
    pub(crate) high: f64,
    pub(crate) key: &'static str,
}

impl Known {
    /// The note for a value outside; none inside, ends included.
    pub(crate) fn note(&self, value: f64) -> Option<OutOfRange> {
        let (side, limit) = match value {
            _ if value < self.low => (Side::Below, self.low),
            _ if value > self.high => (Side::Above, self.high),
            _ => return None,
        };
        let Known { correlation, quantity, key, .. } = *self;
        Some(OutOfRange { correlation, quantity, value, side, limit, key })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_note_names_correlation_quantity_end_and_source() {
        let known = Known { correlation: "hot side up", quantity: "Ra", low: 1e4, high: 1e11, key: "C3" };
        let note = |value| known.note(value).map(|note| note.to_string());
        assert_eq!(note(3e3).unwrap(), "hot side up, Ra 3.0e3 below 1.0e4 (C3)");
        assert_eq!(note(2e11).unwrap(), "hot side up, Ra 2.0e11 above 1.0e11 (C3)");
        assert!(note(1e4).is_none() && note(1e11).is_none());
    }
}
