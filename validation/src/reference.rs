//! A number known from elsewhere, and what the program gives beside it.

/// How a source is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Status {
    /// The value was seen in the named source.
    Read,
    /// Evaluated from a stated formula.
    Computed,
    /// A named source that was not opened.
    Memory,
    /// Common practice, no source.
    Practice,
}

impl Status {
    /// Its word in every list.
    pub fn word(self) -> &'static str {
        match self {
            Status::Read => "read",
            Status::Computed => "computed",
            Status::Memory => "memory",
            Status::Practice => "practice",
        }
    }
}

/// How far a correct program may be off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Tolerance {
    /// In the unit of the quantity.
    Absolute(f64),
    /// As a share of the expected value.
    Share(f64),
}

/// One check: a number that is expected, and why.
#[derive(Clone, Debug, PartialEq)]
pub struct Reference {
    /// Key in the list of sources.
    pub key: &'static str,
    /// What is compared.
    pub quantity: String,
    /// Unit.
    pub unit: &'static str,
    /// Expected value.
    pub expected: f64,
    /// Allowed deviation.
    pub tolerance: Tolerance,
    /// How the expected value is known.
    pub status: Status,
}

/// A check with what the program gives.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// The check.
    pub reference: Reference,
    /// What the program gives.
    pub got: f64,
    /// The error bar that it states, where it states one.
    pub bar: Option<f64>,
    /// By which part of the program: `exact`, `heat`, `scenario`, `study`, `surroundings`.
    pub by: &'static str,
}

impl Finding {
    /// What the program gives, less what is expected.
    pub fn difference(&self) -> f64 {
        self.got - self.reference.expected
    }

    /// Allowed deviation in the unit of the quantity.
    pub fn allowed(&self) -> f64 {
        match self.reference.tolerance {
            Tolerance::Absolute(allowed) => allowed,
            Tolerance::Share(share) => share * self.reference.expected.abs(),
        }
    }

    /// Whether it is within the tolerance.
    pub fn passes(&self) -> bool {
        self.difference().abs() <= self.allowed()
    }
}

/// What the checks of one group have in common.
#[derive(Clone, Copy, Debug)]
pub struct Group {
    /// Key in the list of sources.
    pub key: &'static str,
    /// Unit.
    pub unit: &'static str,
    /// Allowed deviation.
    pub tolerance: Tolerance,
    /// How the expected values are known.
    pub status: Status,
    /// By which part of the program.
    pub by: &'static str,
}

impl Group {
    /// A check of this group whose expected value was computed.
    pub const fn computed(key: &'static str, unit: &'static str, tolerance: Tolerance, by: &'static str) -> Group {
        Group { key, unit, tolerance, status: Status::Computed, by }
    }

    /// One finding.
    pub fn finding(&self, quantity: impl Into<String>, expected: f64, got: f64) -> Finding {
        let Group { key, unit, tolerance, status, by } = *self;
        let reference = Reference { key, quantity: quantity.into(), unit, expected, tolerance, status };
        Finding { reference, got, bar: None, by }
    }
}
