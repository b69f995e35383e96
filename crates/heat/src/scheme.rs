//! Rosenbrock schemes in the form that needs no product with the Jacobian.
//!
//! With `A = 1/(gamma h) - J` the stages solve `A K_i = f(u + sum a_ij K_j) + sum (c_ij / h) K_j`; then
//! `u_new = u + sum m_i K_i` and `sum e_i K_i` estimates the error of the step. All are L-stable.
//! Source: Hairer and Wanner, Solving Ordinary Differential Equations II, sections IV.7 and VI.4, and the
//! coefficient tables of the Kinetic PreProcessor's integrators (`memory`); their orders are measured in a test.

/// Stages of the longest scheme.
pub(crate) const MOST_STAGES: usize = 6;

/// Coefficients of one scheme; rows of `a` and `c` hold the entries left of the diagonal.
#[derive(Debug)]
pub(crate) struct Scheme {
    /// Diagonal coefficient.
    pub gamma: f64,
    /// Stage weights.
    pub a: &'static [&'static [f64]],
    /// Coupling of earlier stages into the right-hand side.
    pub c: &'static [&'static [f64]],
    /// Weights of the new value.
    pub m: &'static [f64],
    /// Weights of the error estimate.
    pub e: &'static [f64],
    /// Order of the new value.
    pub order: i32,
    /// Share of the step tolerance that the linear solver may leave: the coefficients amplify it.
    pub solver_share: f64,
    /// Two stages that nearly cancel: their sum is small and is solved for in place of the second.
    pub paired: bool,
}

/// The integrators that were compared; see the table in the crate docs.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Integrator {
    /// Third order, four stages, each system solved to tolerance.
    Rodas3,
    /// Fourth order, six stages, each system solved to tolerance. For references.
    Rodas4,
    /// Second order, two stages; one sweep of line solves in place of each system where the step is short and the
    /// exchange with the surroundings weak. The engine's own.
    #[default]
    Ros2,
    /// The same with each system solved to tolerance.
    Ros2Solved,
}

impl Integrator {
    /// Its coefficients.
    pub(crate) fn scheme(self) -> &'static Scheme {
        match self {
            Integrator::Rodas3 => &RODAS3,
            Integrator::Rodas4 => &RODAS4,
            Integrator::Ros2 | Integrator::Ros2Solved => &ROS2,
        }
    }

    /// Number of its stages.
    pub(crate) fn stages(self) -> usize {
        self.scheme().m.len()
    }

    /// Share of the step tolerance that the linear solver may leave.
    pub(crate) fn solver_share(self) -> f64 {
        self.scheme().solver_share
    }

    /// Order of the new value.
    pub fn order(self) -> i32 {
        self.scheme().order
    }
}

/// Third order, four stages, three evaluations; stiffly accurate.
static RODAS3: Scheme = Scheme {
    gamma: 0.5,
    a: &[&[], &[0.0], &[2.0, 0.0], &[2.0, 0.0, 1.0]],
    c: &[&[], &[4.0], &[1.0, -1.0], &[1.0, -1.0, -8.0 / 3.0]],
    m: &[2.0, 0.0, 1.0, 1.0],
    e: &[0.0, 0.0, 0.0, 1.0],
    order: 3,
    solver_share: 1e-4,
    paired: false,
};

/// Second order, two stages; `gamma = 1 - 1/sqrt 2`. The engine's scheme: see the crate docs.
static ROS2: Scheme = Scheme {
    gamma: 0.292_893_218_813_452_5,
    a: &[&[], &[3.414_213_562_373_095]],
    c: &[&[], &[-6.828_427_124_746_19]],
    m: &[5.121_320_343_559_643, 1.707_106_781_186_547_5],
    e: &[1.707_106_781_186_547_5, 1.707_106_781_186_547_5],
    order: 2,
    solver_share: 1e-3,
    paired: true,
};

/// Fourth order, six stages; stiffly accurate.
static RODAS4: Scheme = Scheme {
    gamma: 0.25,
    a: &[
        &[],
        &[1.544],
        &[0.946_678_528_081_582_6, 0.255_701_169_898_328_4],
        &[3.314_825_187_068_521, 2.896_124_015_972_201, 0.998_641_913_997_781_7],
        &[1.221_224_509_226_641, 6.019_134_481_288_629, 12.537_083_329_320_87, -0.687_886_036_105_895],
        &[1.221_224_509_226_641, 6.019_134_481_288_629, 12.537_083_329_320_87, -0.687_886_036_105_895, 1.0],
    ],
    c: &[
        &[],
        &[-5.6688],
        &[-2.430_093_356_833_875, -0.206_359_915_709_191_5],
        &[-0.107_352_905_815_137_5, -9.594_562_251_023_355, -20.470_286_148_096_16],
        &[7.496_443_313_967_647, -10.246_804_314_643_52, -33.999_903_528_199_05, 11.708_908_932_061_6],
        &[
            8.083_246_795_921_522,
            -7.981_132_988_064_893,
            -31.521_594_328_743_71,
            16.319_305_431_231_36,
            -6.058_818_238_834_054,
        ],
    ],
    m: &[1.221_224_509_226_641, 6.019_134_481_288_629, 12.537_083_329_320_87, -0.687_886_036_105_895, 1.0, 1.0],
    e: &[0.0, 0.0, 0.0, 0.0, 0.0, 1.0],
    order: 4,
    solver_share: 1e-4,
    paired: false,
};
