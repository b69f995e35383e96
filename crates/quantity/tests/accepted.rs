//! Spellings that must be read, each with its SI value.

use approx::assert_relative_eq;
use quantity::{
    Area, Conductivity, Density, Duration, Energy, Error, FilmCoefficient, Fraction, HeatFlux, Length, Mass, MassFlow,
    Power, SpecificHeat, Speed, Temperature, TemperatureDifference, Volume, VolumeFlow, VolumeHeat,
};

fn check(cases: &[(&str, f64)], read: impl Fn(&str) -> Result<f64, Error>) {
    for (text, expected) in cases {
        let found = read(text).unwrap_or_else(|error| panic!("{text}: {error}"));
        assert_relative_eq!(found, *expected, max_relative = 1e-12, epsilon = 1e-12);
    }
}

macro_rules! check {
    ($name:ident, $cases:expr) => {
        check($cases, |text| text.parse::<$name>().map($name::si))
    };
}

#[test]
fn temperatures_are_read_in_three_scales() {
    let hot = 1840.0 / 9.0;
    let cases = [
        ("400 F", hot),
        ("400F", hot),
        ("400 f", hot),
        ("400 degF", hot),
        ("400 deg F", hot),
        ("400 °F", hot),
        ("400º F", hot),
        ("  400.0\u{a0}F ", hot),
        ("400 Fahrenheit", hot),
        ("205 C", 205.0),
        ("205c", 205.0),
        ("205 degC", 205.0),
        ("205 °C", 205.0),
        ("478 K", 204.85),
        ("-40 F", -40.0),
        ("\u{2212}40 C", -40.0),
        ("+20 C", 20.0),
        ("- 5 C", -5.0),
        ("0 K", -273.15),
        ("-459.67 F", -273.15),
    ];
    check(&cases, |text| text.parse().map(Temperature::celsius));
}

#[test]
fn temperature_differences_have_no_zero_point() {
    let cases = [("10 K", 10.0), ("10 C", 10.0), ("18 F", 10.0), ("-9 °F", -5.0)];
    check!(TemperatureDifference, &cases);
}

#[test]
fn lengths_are_read_as_shops_and_drawings_write_them() {
    let cases = [
        ("8 in", 0.2032),
        ("8 in.", 0.2032),
        ("8 inches", 0.2032),
        ("8\"", 0.2032),
        ("8″", 0.2032),
        ("8''", 0.2032),
        ("1/4 in", 0.00635),
        ("1/4\"", 0.00635),
        ("2 1/2 in", 0.0635),
        ("2-1/2 in", 0.0635),
        ("2½ in", 0.0635),
        ("5 ft 2 in", 1.5748),
        ("5' 2\"", 1.5748),
        ("5'2\"", 1.5748),
        ("5'-2\"", 1.5748),
        ("5’ 2”", 1.5748),
        ("5 feet, 2 inches", 1.5748),
        ("5 ft 2 1/2 in", 1.5875),
        ("-5 ft 2 in", -1.5748),
        ("100 mm", 0.1),
        ("100MM", 0.1),
        ("1.2 m", 1.2),
        ("1 m 20 cm", 1.2),
        ("10 cm", 0.1),
        ("25 um", 25e-6),
        ("25 µm", 25e-6),
        ("25 micron", 25e-6),
        ("2 mil", 5.08e-5),
        (".5 m", 0.5),
        ("1e-3 m", 0.001),
    ];
    check!(Length, &cases);
}

#[test]
fn areas_are_read() {
    let cases = [
        ("2 m2", 2.0),
        ("2 m²", 2.0),
        ("2 m^2", 2.0),
        ("2 m**2", 2.0),
        ("1 sq ft", 0.092_903_04),
        ("144 sq. in.", 0.092_903_04),
        ("50 cm2", 0.005),
    ];
    check!(Area, &cases);
}

#[test]
fn durations_are_read_as_people_say_them() {
    let cases = [
        ("90 s", 90.0),
        ("90 sec", 90.0),
        ("15 min", 900.0),
        ("15 minutes", 900.0),
        ("1 h", 3600.0),
        ("1 hr", 3600.0),
        ("1 1/2 h", 5400.0),
        ("8 h 30 min", 30_600.0),
        ("8h30min", 30_600.0),
        ("1h30", 5400.0),
        ("1 h 30", 5400.0),
        ("4 min 10 s", 250.0),
        ("1 d 2 h 3 min 4 s", 93_784.0),
    ];
    check!(Duration, &cases);
}

#[test]
fn masses_and_densities_are_read() {
    let cases = [
        ("2304 kg", 2304.0),
        ("2304 KG", 2304.0),
        ("2.3 t", 2300.0),
        ("2.3 tonnes", 2300.0),
        ("5000 lb", 2_267.961_85),
        ("5000 lbs.", 2_267.961_85),
        ("2.5 US ton", 2_267.961_85),
        ("2.5 short tons", 2_267.961_85),
        ("1 lb 8 oz", 0.680_388_555),
    ];
    check!(Mass, &cases);
    let cases = [("7850 kg/m³", 7850.0), ("7.85 g/cm3", 7850.0), ("7.85 g/cc", 7850.0)];
    check!(Density, &cases);
}

#[test]
fn fluxes_powers_and_energies_are_read() {
    let cases = [
        ("250 kW/m2", 2.5e5),
        ("250 kW/m²", 2.5e5),
        ("250 kw / m^2", 2.5e5),
        ("2.5e5 W/m2", 2.5e5),
        ("25 W/cm2", 2.5e5),
        ("160 W/in2", 160.0 / 0.000_645_16),
        ("1 Btu/h.ft2", 3.154_590_745_063_049),
        ("1 BTU/(hr·ft²)", 3.154_590_745_063_049),
        ("1 Btu/hr/sq ft", 3.154_590_745_063_049),
    ];
    check!(HeatFlux, &cases);
    let cases = [
        ("2.3 kW", 2300.0),
        ("2300 watts", 2300.0),
        ("9000 Btu/h", 9000.0 * 1_055.055_852_62 / 3600.0),
        ("9 kBtu/h", 9000.0 * 1_055.055_852_62 / 3600.0),
    ];
    check!(Power, &cases);
    let cases = [
        ("5 J", 5.0),
        ("5 kJ", 5e3),
        ("5 MJ", 5e6),
        ("5 kWh", 1.8e7),
        ("5 Wh", 1.8e4),
        ("1 Btu", 1_055.055_852_62),
        ("1 BTU", 1_055.055_852_62),
    ];
    check!(Energy, &cases);
}

#[test]
fn material_and_film_properties_are_read() {
    let film = 1_055.055_852_62 / (3600.0 * 0.092_903_04 * 5.0 / 9.0);
    let cases = [
        ("8 W/m2K", 8.0),
        ("8 W/m2.K", 8.0),
        ("8 W/m²·K", 8.0),
        ("8 W/(m2 K)", 8.0),
        ("8 W/m2/K", 8.0),
        ("8 W/m2 °C", 8.0),
        ("8 W/m2C", 8.0),
        ("1 Btu/h.ft2.F", film),
        ("1 Btu/(hr-ft2-°F)", film),
        ("1 Btu/ft2.h.F", film),
    ];
    check!(FilmCoefficient, &cases);
    let cases = [
        ("46 W/mK", 46.0),
        ("46 W/m.K", 46.0),
        ("46 W/(m·K)", 46.0),
        ("46 w/mk", 46.0),
        ("0.46 W/cm K", 46.0),
        ("1 Btu/h.ft.F", film * 0.3048),
        ("12 Btu.in/h.ft2.F", film * 0.3048),
        ("12 Btu·in/(ft2·h·F)", film * 0.3048),
    ];
    check!(Conductivity, &cases);
    let cases = [
        ("500 J/kgK", 500.0),
        ("500 J/(kg K)", 500.0),
        ("0.5 kJ/kg.K", 500.0),
        ("0.12 Btu/lb.F", 502.416),
        ("0.12 Btu/lb °F", 502.416),
    ];
    check!(SpecificHeat, &cases);
}

#[test]
fn flows_speeds_and_shares_are_read() {
    let cubic_foot = 0.3048f64.powi(3);
    let cases = [
        ("100 L/h", 0.1 / 3600.0),
        ("100 l/h", 0.1 / 3600.0),
        ("1 m3/h", 1.0 / 3600.0),
        ("8.5 ft3/h", 8.5 * cubic_foot / 3600.0),
        ("8.5 cu ft/hr", 8.5 * cubic_foot / 3600.0),
        ("8.5 CFH", 8.5 * cubic_foot / 3600.0),
    ];
    check!(VolumeFlow, &cases);
    let cases =
        [("8 m3", 8.0), ("40 L", 0.04), ("40 l", 0.04), ("300 ft3", 300.0 * cubic_foot), ("1 cu ft", cubic_foot)];
    check!(Volume, &cases);
    let cases = [("1 kg/h", 1.0 / 3600.0), ("1 lb/h", 0.453_592_37 / 3600.0)];
    check!(MassFlow, &cases);
    let cases = [
        ("1 m/s", 1.0),
        ("200 ft/min", 1.016),
        ("200 fpm", 1.016),
        ("2 mph", 0.894_08),
        ("3.6 km/h", 1.0),
        ("10 in/min", 0.254 / 60.0),
    ];
    check!(Speed, &cases);
    let cases = [("30 %", 0.3), ("30%", 0.3), ("30 percent", 0.3), ("0.3", 0.3), ("1", 1.0), ("1/4", 0.25)];
    check!(Fraction, &cases);
    let cases = [("93 MJ/m3", 9.3e7), ("1 Btu/cu ft", 1_055.055_852_62 / cubic_foot)];
    check!(VolumeHeat, &cases);
}

/// Published six- and seven-figure values, rounded as tables give them; `memory`.
#[test]
fn conversions_agree_with_the_rounded_values_of_tables() {
    let film: FilmCoefficient = "1 Btu/h.ft2.F".parse().unwrap();
    assert_relative_eq!(film.si(), 5.678_263, epsilon = 5e-7);
    let conductivity: Conductivity = "1 Btu/h.ft.F".parse().unwrap();
    assert_relative_eq!(conductivity.si(), 1.730_735, epsilon = 5e-7);
    let flux: HeatFlux = "1 Btu/h.ft2".parse().unwrap();
    assert_relative_eq!(flux.si(), 3.154_591, epsilon = 5e-7);
    let specific_heat: SpecificHeat = "1 Btu/lb.F".parse().unwrap();
    assert_relative_eq!(specific_heat.si(), 4186.8, max_relative = 1e-12);
    let power: Power = "1 Btu/h".parse().unwrap();
    assert_relative_eq!(power.si(), 0.293_071_1, epsilon = 5e-8);
    let density: Density = "1 lb/ft3".parse().unwrap();
    assert_relative_eq!(density.si(), 16.018_46, epsilon = 5e-6);
}

#[test]
fn every_listed_example_and_common_unit_is_of_its_own_kind() {
    for kind in quantity::kinds() {
        let units: Vec<&str> = kind.spellings().collect();
        assert!(kind.common.iter().all(|unit| units.contains(unit)), "{}", kind.name);
        assert!(units.iter().any(|unit| kind.example.ends_with(unit)), "{}", kind.name);
    }
}
