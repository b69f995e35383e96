//! What is assumed where nothing is said, and why.

use std::str::FromStr;

use warmhold::quantity;

/// One thing that may be said.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Asked {
    /// The option that says it.
    pub(crate) option: &'static str,
    /// Keys of the scenario that it fills.
    pub(crate) keys: &'static [&'static str],
    /// Why the offer is sensible.
    pub(crate) why: &'static str,
}

/// An assumption made for the user.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Offer {
    /// The option that would say otherwise.
    pub(crate) option: &'static str,
    /// What is assumed.
    pub(crate) value: String,
    /// Why.
    pub(crate) why: &'static str,
}

/// Collects what was said, what was assumed and what is wrong.
#[derive(Debug, Default)]
pub(crate) struct Form {
    pub(crate) offers: Vec<Offer>,
    pub(crate) offered_keys: Vec<&'static str>,
    pub(crate) faults: Vec<String>,
}

impl Form {
    /// What was said, or else the offer.
    pub(crate) fn text(&mut self, asked: Asked, said: Option<&str>, offer: &str) -> String {
        match said {
            Some(text) => text.to_owned(),
            None => {
                self.assume(asked, offer);
                offer.to_owned()
            }
        }
    }

    /// Notes an assumption.
    pub(crate) fn assume(&mut self, asked: Asked, value: &str) {
        self.offers.push(Offer { option: asked.option, value: value.to_owned(), why: asked.why });
        self.offered_keys.extend(asked.keys);
    }

    /// As [`Form::text`], checked as a quantity.
    pub(crate) fn quantity<Q>(&mut self, asked: Asked, said: Option<&str>, offer: &str) -> String
    where
        Q: FromStr<Err = quantity::Error>,
    {
        if let Some(text) = said {
            self.check::<Q>(asked.option, text);
        }
        self.text(asked, said, offer)
    }

    /// As [`Form::quantity`], with no offer: `why` says what it is and where it comes from.
    pub(crate) fn required<Q>(&mut self, asked: Asked, said: Option<&str>) -> String
    where
        Q: FromStr<Err = quantity::Error>,
    {
        match said {
            Some(text) => self.check::<Q>(asked.option, text),
            None => self.faults.push(format!("{} is missing: {}", asked.option, asked.why)),
        }
        said.unwrap_or_default().to_owned()
    }

    /// Lengths of a size such as `60 mm x 20 mm x 6 mm`.
    pub(crate) fn size(&mut self, asked: Asked, said: Option<&str>, offer: &str) -> [String; 3] {
        let text = self.text(asked, said, offer);
        match crate::sides::split::<3>(&text, offer) {
            Ok(sides) => {
                sides.iter().for_each(|side| self.check::<quantity::Length>(asked.option, side));
                sides
            }
            Err(fault) => {
                self.faults.push(format!("{} \"{}\": {fault}", asked.option, crate::output::printable(&text)));
                Default::default()
            }
        }
    }

    /// Notes what is wrong with a text.
    pub(crate) fn check<Q>(&mut self, option: &str, text: &str)
    where
        Q: FromStr<Err = quantity::Error>,
    {
        if let Err(error) = text.parse::<Q>() {
            self.faults.push(format!("{option}: {error}"));
        }
    }
}
