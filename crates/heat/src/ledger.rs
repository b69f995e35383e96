//! Where the heat went.

/// Heat booked over a whole run, J, for the whole casting. Losses count as positive when they leave the metal.
///
/// Each term is summed from the boundary fluxes of every step; none is obtained as a difference of the others,
/// so [`Ledger::residual_j`] is a real check.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Ledger {
    /// Net heat from the torches.
    pub torch_j: f64,
    /// Net heat from what heats beside them.
    pub heaters_j: f64,
    /// Net heat from the arc.
    pub arc_j: f64,
    /// Rise of the heat stored in the metal.
    pub stored_j: f64,
    /// Lost to the air.
    pub convection_j: f64,
    /// Lost by radiation.
    pub radiation_j: f64,
    /// Lost into what the casting stands on.
    pub contact_j: f64,
}

impl Ledger {
    /// Heat in, less losses, less stored, J: zero but for rounding.
    pub fn residual_j(&self) -> f64 {
        self.torch_j + self.heaters_j + self.arc_j
            - self.convection_j
            - self.radiation_j
            - self.contact_j
            - self.stored_j
    }

    /// The larger of heat in and heat lost, J: what the residual is measured against.
    pub fn scale_j(&self) -> f64 {
        let lost = self.convection_j + self.radiation_j + self.contact_j;
        (self.torch_j + self.heaters_j + self.arc_j).abs().max(lost.abs())
    }
}
