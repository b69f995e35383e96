//! A unit, and the kind of quantity it measures.

/// How a number with units may be written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Form {
    /// One number, one unit.
    Single,
    /// Also a sum from larger to smaller units: `5 ft 2 in`.
    Compound,
    /// Time: compound, printed as `4 min 10 s`, and `1h30` is read.
    Clock,
}

/// Which readers a unit is printed for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum System {
    Metric,
    Shop,
    Common,
}

/// When and how finely a unit is printed.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Print {
    pub(crate) system: System,
    /// Sizes (SI) from which, and below which, this unit takes over from the first of its system.
    pub(crate) from: f64,
    pub(crate) below: f64,
    /// Decimals are added until this many digits are shown ...
    pub(crate) significant: i32,
    /// ... but never more decimals than this.
    pub(crate) most_decimals: i32,
}

/// One unit of a quantity: `si = (number - zero) * factor`.
#[derive(Debug, Clone, Copy)]
pub struct Unit {
    /// The spelling printed and recommended.
    pub spelling: &'static str,
    /// Other spellings. Plurals, `hr`, `deg F`, `°`, `·`, `^2`, `²` and brackets need no entry.
    pub also: &'static [&'static str],
    /// SI per one of this unit.
    pub factor: f64,
    /// What this unit reads at zero SI; not zero for temperatures only.
    pub zero: f64,
    pub(crate) print: Option<Print>,
}

impl Unit {
    pub(crate) const fn new(spelling: &'static str, factor: f64) -> Self {
        Self { spelling, also: &[], factor, zero: 0.0, print: None }
    }

    pub(crate) const fn also(mut self, also: &'static [&'static str]) -> Self {
        self.also = also;
        self
    }

    pub(crate) const fn zero_at(mut self, zero: f64) -> Self {
        self.zero = zero;
        self
    }

    /// The unit a system prints unless another one's range takes over.
    pub(crate) const fn print(self, system: System, significant: i32, most_decimals: i32) -> Self {
        self.print_between(system, f64::MAX, f64::MAX, significant, most_decimals)
    }

    pub(crate) const fn print_between(
        mut self,
        system: System,
        from: f64,
        below: f64,
        significant: i32,
        most_decimals: i32,
    ) -> Self {
        self.print = Some(Print { system, from, below, significant, most_decimals });
        self
    }

    /// The SI value of `number` in this unit (degC for a temperature).
    #[must_use]
    pub fn to_si(&self, number: f64) -> f64 {
        (number - self.zero) * self.factor
    }

    /// The number this unit shows for an SI value (degC for a temperature).
    #[must_use]
    pub fn number(&self, si: f64) -> f64 {
        si / self.factor + self.zero
    }
}

/// One kind of quantity and everything that is accepted for it.
#[derive(Debug)]
pub struct Kind {
    /// The plain name: `temperature`, `heat flux`.
    pub name: &'static str,
    /// Something to type: `400 F`.
    pub example: &'static str,
    /// The accepted units.
    pub units: &'static [Unit],
    /// The two spellings offered when a unit is missing.
    pub common: [&'static str; 2],
    /// Spellings that mean two things, and what to write in their place.
    pub(crate) ambiguous: &'static [(&'static str, &'static str)],
    pub(crate) form: Form,
    /// True when a number without unit is meaningful.
    pub(crate) bare: bool,
    /// The least SI value that exists.
    pub(crate) lowest: f64,
}

impl Kind {
    pub(crate) const fn new(
        name: &'static str,
        example: &'static str,
        common: [&'static str; 2],
        units: &'static [Unit],
    ) -> Self {
        Self {
            name,
            example,
            units,
            common,
            ambiguous: &[],
            form: Form::Single,
            bare: false,
            lowest: f64::NEG_INFINITY,
        }
    }

    pub(crate) const fn form(mut self, form: Form) -> Self {
        self.form = form;
        self
    }

    /// The name with its article: `a length`, `an area`.
    #[must_use]
    pub fn with_article(&self) -> String {
        let article = if self.name.starts_with(['a', 'e']) { "an" } else { "a" };
        format!("{article} {}", self.name)
    }

    /// Every listed spelling, the recommended one of each unit first.
    pub fn spellings(&self) -> impl Iterator<Item = &'static str> {
        self.units.iter().flat_map(|unit| std::iter::once(unit.spelling).chain(unit.also.iter().copied()))
    }
}
