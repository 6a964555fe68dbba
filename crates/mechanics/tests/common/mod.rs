//! Vans for the tests of statics. All invented.

pub(crate) mod axles;

use std::sync::Arc;

use mechanics::GRAVITY_M_PER_S2;
use mechanics::elements::*;
use mechanics::linkage::*;
use mechanics::statics::*;

use crate::reference_strut::reference_points;

pub(crate) const MM: f64 = 1e-3;

/// The source of the two reference balances is a linear solution: a flat body on four vertical guides, with springs
/// and tyres of constant rate. Here that is a constant motion ratio of 1, no arm (the wheel keeps its x and y), the
/// centre of gravity at wheel-centre height, so that tilting the body gives its weight no moment about the wheels,
/// and every part at rest with all travels zero, so that rise and load change count from there. What remains of the
/// exact rotation is of second order, so the linear source is met by the responses at this rest, times the change.
/// Wheel centres at (0, ±0.87) and (-3.45, ±0.86), spring rates as wheel rates, bars at the axle.
pub(crate) fn linear_van() -> FourCorners {
    let carried_kg = [2200.0 * 1.80 / 3.45 / 2.0, 2200.0 * 1.65 / 3.45 / 2.0];
    let corner = |i: usize| {
        let axle = axle_of(i);
        let wheel_m = [[0.0, 0.87, WHEEL_HEIGHT_M], [-3.45, 0.86, WHEEL_HEIGHT_M]][axle];
        let parts = Parts {
            unsprung_mass_kg: [60.0, 75.0][axle],
            tyre_rate_n_per_m: [250e3, 280e3][axle],
            ..Parts::plain([32e3, 45e3][axle])
        };
        corner_at_rest(vertical_guide(wheel_m, 1.0), i, carried_kg[axle], parts)
    };
    let bar = |rate_nm_per_rad: f64, track_m: f64| {
        Some(FittedBar::AtTheAxle { bar: AntiRollBar { rate_nm_per_rad }, track_m })
    };
    FourCorners {
        corners: std::array::from_fn(corner),
        bars: [bar(18_000.0, 1.74), bar(6_000.0, 1.72)],
        sprung: SprungMass { mass_kg: 2200.0, centre_of_gravity_m: [-1.65, 0.0, WHEEL_HEIGHT_M] },
    }
}

/// Wheel centres of the linear van above the ground, m.
pub(crate) const WHEEL_HEIGHT_M: f64 = 0.33;

/// Arch lip outboard of the wheel centre, m.
pub(crate) const LIP_OUTBOARD_M: f64 = 0.05;

/// A wheel that moves straight up and down the body.
pub(crate) fn vertical_guide(wheel_centre_m: Point, ratio: f64) -> Arc<CornerTable> {
    tape_measured(wheel_centre_m, None, MeasuredRatio::Constant(ratio), MeasuredRatio::Constant(1.0))
}

pub(crate) fn tape_measured(
    wheel_centre_m: Point,
    arm: Option<ArmMeasure>,
    spring_ratio: MeasuredRatio,
    damper_ratio: MeasuredRatio,
) -> Arc<CornerTable> {
    let measures = TapeMeasureAxle {
        wheel_centre_m,
        tyre_radius_m: wheel_centre_m[2],
        arm,
        spring_ratio,
        damper_ratio,
        spring_length_at_design_m: 0.30,
        damper_length_at_design_m: 0.45,
    };
    tabulated(&Linkage::TapeMeasure(Box::new(TapeMeasure::new(measures).unwrap())))
}

fn tabulated(linkage: &Linkage) -> Arc<CornerTable> {
    Arc::new(linkage.table(0.12, 0.12).unwrap())
}

/// What stands in a corner beside its main spring's preload, which follows from the load.
#[derive(Clone)]
pub(crate) struct Parts {
    pub spring: Spring,
    pub helper: Option<Spring>,
    pub mount_rate_n_per_m: Option<f64>,
    pub added_leaves: Vec<AddedLeaf>,
    pub air: Option<FittedAirSpring>,
    pub interleaf_friction: f64,
    pub gas_force_n: f64,
    pub stop: Option<FittedStop>,
    pub bush: Option<RubberBush>,
    pub unsprung_mass_kg: f64,
    pub tyre_rate_n_per_m: f64,
    pub tyre_rate_growth_n_per_m2: f64,
}

impl Parts {
    /// A linear spring, a tyre and nothing else.
    pub(crate) fn plain(rate_n_per_m: f64) -> Self {
        Self {
            spring: Spring::linear(rate_n_per_m, 1.0, None).unwrap(),
            helper: None,
            mount_rate_n_per_m: None,
            added_leaves: Vec::new(),
            air: None,
            interleaf_friction: 0.0,
            gas_force_n: 0.0,
            stop: None,
            bush: None,
            unsprung_mass_kg: 60.0,
            tyre_rate_n_per_m: 250e3,
            tyre_rate_growth_n_per_m2: 0.0,
        }
    }
}

/// A corner that carries its load at design height: the free length of its main spring is found by bisection.
pub(crate) fn corner_at_rest(table: Arc<CornerTable>, i: usize, carried_kg: f64, parts: Parts) -> Corner {
    let [_, y_m, z_m] = table.wheel_centre_design_m;
    let mut tyre = Tyre::linear(z_m, parts.tyre_rate_n_per_m).unwrap();
    tyre.rate_growth_n_per_m2 = parts.tyre_rate_growth_n_per_m2;
    tyre.unloaded_radius_m =
        z_m + tyre.deflection_under_m((carried_kg + parts.unsprung_mass_kg) * GRAVITY_M_PER_S2);
    let mut corner = Corner {
        side: side_of(i),
        spring: SpringStack {
            main: parts.spring,
            helper: parts.helper,
            mount_rate_n_per_m: parts.mount_rate_n_per_m,
        },
        seat_shift_m: 0.0,
        added_leaves: parts.added_leaves,
        air: parts.air,
        seat_packing_m: 0.0,
        spring_travel_factor: 1.0,
        body_shift_m: 0.0,
        damper: Damper::new(0.58, 0.30, parts.gas_force_n, 300.0).unwrap(),
        stop: parts.stop,
        bush: parts.bush,
        friction: Friction {
            base_n: 60.0,
            per_side_force: 0.05,
            side_force_ratio: 0.1,
            per_spring_load: parts.interleaf_friction,
        },
        wheel_force_n: 0.0,
        tyre,
        unsprung_mass_kg: parts.unsprung_mass_kg,
        lip_m: [table.wheel_centre_design_m[0], y_m + LIP_OUTBOARD_M, z_m + 0.46],
        table,
    };
    if parts.gas_force_n == 0.0 {
        corner.damper.gas_rate_n_per_m = 0.0;
    }
    let (mut short_m, mut long_m) = (0.05, 3.0);
    for _ in 0..60 {
        let middle_m = 0.5 * (short_m + long_m);
        corner.spring.main.free_length_m = middle_m;
        if corner.forces_at(AxleTravel::together(0.0)).total_n < carried_kg * GRAVITY_M_PER_S2 {
            short_m = middle_m;
        } else {
            long_m = middle_m;
        }
    }
    corner
}

pub(crate) fn bump_stop() -> BumpStop {
    BumpStop::measured(&[(0.010, 250.0), (0.022, 800.0), (0.034, 2_200.0), (0.045, 6_500.0)], 0.065).unwrap()
}

/// Struts in front, semi-trailing arms behind, bars through their links; helper springs and rubber mounts in front,
/// stops touched at rest on both axles (on the front damper rod, under the rear rail), gas, rear bushes clamped in
/// rebound, tyres of growing rate, 24 kg more on the left.
pub(crate) fn hardpoint_van() -> FourCorners {
    let (front, rear) = (tabulated(&strut()), tabulated(&semi_trailing_arm()));
    let damper_m = front.damper_length_m.at(0.0).value;
    let front_parts = Parts {
        helper: Some(Spring::linear(2_500.0, 0.06, Some(0.02)).unwrap()),
        mount_rate_n_per_m: Some(700e3),
        gas_force_n: 180.0,
        stop: Some(FittedStop {
            stop: bump_stop().trimmed_to(0.055).unwrap(),
            place: StopPlace::Damper,
            whole_contact_m: damper_m + 0.025,
        }),
        tyre_rate_growth_n_per_m2: 4e5,
        ..Parts::plain(34e3)
    };
    let rear_parts = Parts {
        gas_force_n: 150.0,
        stop: Some(FittedStop {
            stop: bump_stop(),
            place: StopPlace::Wheel { ratio: 0.8, other_share: 0.0 },
            whole_contact_m: -0.012,
        }),
        bush: Some(RubberBush { rate_nm_per_rad: 1_400.0, clamped_at_travel_m: -0.06 }),
        unsprung_mass_kg: 70.0,
        ..Parts::plain(70e3)
    };
    let corner = |i: usize| {
        if axle_of(i) == FRONT {
            corner_at_rest(front.clone(), i, 610.0, front_parts.clone())
        } else {
            corner_at_rest(rear.clone(), i, 560.0, rear_parts.clone())
        }
    };
    van_of(std::array::from_fn(corner), [Some(1_500.0), Some(900.0)].map(through_links))
}

/// Transverse arms with measured ratios in front and trailing arms with springs on them behind; a progressive
/// spring and a stop inside it in front, touched at rest; a bar at the front axle only.
pub(crate) fn tape_measure_van() -> FourCorners {
    let ratios = vec![(-0.08, 0.62), (-0.03, 0.66), (0.0, 0.69), (0.05, 0.74), (0.09, 0.75)];
    let transverse = ArmMeasure { length_m: 0.38, angle_at_design_rad: -0.05, kind: ArmKind::Transverse };
    let trailing = ArmMeasure { length_m: 0.50, angle_at_design_rad: -0.10, kind: ArmKind::Trailing };
    let on_arm =
        MeasuredRatio::SpringOnArm { distance_from_pivot_m: 0.36, lean_from_perpendicular_rad: 0.15 };
    let (constant, measured) = (MeasuredRatio::Constant(0.9), MeasuredRatio::Table(ratios));
    let front = tape_measured([0.0, 0.82, 0.34], Some(transverse), measured, constant.clone());
    let rear = tape_measured([-3.1, 0.80, 0.34], Some(trailing), on_arm, constant);
    let front_parts = Parts {
        spring: Spring::measured(&[(0.36, 3_000.0), (0.30, 6_600.0), (0.24, 11_400.0)], 0.42, None).unwrap(),
        stop: Some(FittedStop { stop: bump_stop(), place: StopPlace::Spring, whole_contact_m: 0.312 }),
        bush: Some(RubberBush { rate_nm_per_rad: 600.0, clamped_at_travel_m: 0.01 }),
        ..Parts::plain(1.0)
    };
    let rear_parts = Parts {
        bush: Some(RubberBush { rate_nm_per_rad: 900.0, clamped_at_travel_m: -0.04 }),
        ..Parts::plain(60e3)
    };
    let corner = |i: usize| {
        if axle_of(i) == FRONT {
            corner_at_rest(front.clone(), i, 560.0, front_parts.clone())
        } else {
            corner_at_rest(rear.clone(), i, 500.0, rear_parts.clone())
        }
    };
    let bar = FittedBar::AtTheAxle { bar: AntiRollBar { rate_nm_per_rad: 14_000.0 }, track_m: 1.64 };
    van_of(std::array::from_fn(corner), [Some(bar), None])
}

/// An auxiliary bellows that narrows as it is stretched.
fn bellows() -> FittedAirSpring {
    let limits = AirSpringLimits {
        least_height_m: 0.06,
        greatest_height_m: 0.26,
        least_pressure_pa: 50e3,
        greatest_pressure_pa: 700e3,
    };
    let areas = [(0.05, 0.0140), (0.12, 0.0120), (0.18, 0.0105), (0.27, 0.0085)];
    FittedAirSpring {
        spring: AirSpring::measured(&areas, (0.13, 1.8e-3), 1.0, limits).unwrap(),
        height_at_design_m: 0.15,
        height_per_spring_length: 0.9,
        charge: AirCharge::Open(220e3),
    }
}

/// Vans with the struts of [`hardpoint_van`] in front and each kind of joined axle behind: the springs of the leaves
/// act over their camber, the stops of links and leaves stand inboard of the wheels, the twist beam turns in rubber.
pub(crate) fn joined_vans() -> [(&'static str, FourCorners); 3] {
    let stop = |place: StopPlace, whole_contact_m: f64| {
        Some(FittedStop { stop: bump_stop(), place, whole_contact_m })
    };
    let inboard = StopPlace::Wheel { ratio: 1.0, other_share: 0.2 };
    let leaves = Parts {
        stop: stop(inboard, -0.008),
        unsprung_mass_kg: 95.0,
        gas_force_n: 120.0,
        added_leaves: vec![AddedLeaf::new(18e3, 0.06).unwrap(), AddedLeaf::new(25e3, 0.10).unwrap()],
        air: Some(bellows().filled_at(220e3, 0.15)),
        interleaf_friction: 0.06,
        ..Parts::plain(52e3)
    };
    let beam = Parts {
        stop: stop(StopPlace::Spring, 0.345),
        bush: Some(RubberBush { rate_nm_per_rad: 800.0, clamped_at_travel_m: -0.05 }),
        gas_force_n: 150.0,
        ..Parts::plain(58e3)
    };
    let links = Parts {
        stop: stop(inboard, -0.005),
        bush: Some(RubberBush { rate_nm_per_rad: 500.0, clamped_at_travel_m: -0.03 }),
        unsprung_mass_kg: 85.0,
        ..Parts::plain(62e3)
    };
    let fittings = LeafFittings { block_m: 0.015, wedge_rad: 0.02, shackle_longer_m: 0.01 };
    let rigid = axles::leaf_axle(axles::leaf_points(), fittings);
    [
        ("leaves", joined_van(&rigid, &leaves, 1_200.0)),
        ("twist beam", joined_van(&axles::twist_beam(axles::twist_beam_points()), &beam, 3_500.0)),
        ("links", joined_van(&axles::link_axle(axles::link_points()), &links, 1_100.0)),
    ]
}

fn joined_van(axle: &JoinedAxle, parts: &Parts, bar_rate_nm_per_rad: f64) -> FourCorners {
    let tables = axle.tables(0.12, 0.12).unwrap().map(Arc::new);
    let mut corners = hardpoint_van().corners;
    for (i, table) in [(2, &tables[0]), (3, &tables[1])] {
        corners[i] = corner_at_rest(table.clone(), i, 560.0, parts.clone());
    }
    van_of(corners, [Some(1_500.0), Some(bar_rate_nm_per_rad)].map(through_links))
}

fn through_links(rate_nm_per_rad: Option<f64>) -> Option<FittedBar> {
    Some(FittedBar::ThroughLinks(AntiRollBar { rate_nm_per_rad: rate_nm_per_rad? }))
}

/// The van whose parts are near rest at design height, with 24 kg too much on its left.
fn van_of(corners: [Corner; CORNERS], bars: [Option<FittedBar>; 2]) -> FourCorners {
    let loads = std::array::from_fn(|i| {
        let carried_kg = corners[i].forces_at(AxleTravel::together(0.0)).total_n / GRAVITY_M_PER_S2;
        carried_kg + 6.0 * side_of(i) + corners[i].unsprung_mass_kg
    });
    let unsprung_kg = std::array::from_fn(|i| corners[i].unsprung_mass_kg);
    let wheels_m = std::array::from_fn(|i| {
        let [x, y, z] = corners[i].table.wheel_centre_design_m;
        [x, side_of(i) * y, z]
    });
    let sprung = CornerLoads(loads).sprung_mass(unsprung_kg, wheels_m, 0.78);
    FourCorners { corners, bars, sprung }
}

/// The reference strut with a spring that stands inboard of the strut's own axis, and no driveshaft.
fn strut() -> Linkage {
    let points = StrutHardpoints {
        spring_seat_lower_m: [-0.020, 0.700, 0.560],
        spring_seat_upper_m: [-0.040, 0.660, 0.870],
        driveshaft_inner_m: None,
        ..reference_points()
    };
    Linkage::Strut(Box::new(Strut::new(points).unwrap()))
}

fn semi_trailing_arm() -> Linkage {
    let points = SemiTrailingHardpoints {
        pivot_inner_m: [-2.950, 0.450, 0.360],
        pivot_outer_m: [-2.890, 0.745, 0.375],
        spring_seat_lower_m: [-3.250, 0.600, 0.320],
        spring_seat_upper_m: [-3.230, 0.590, 0.640],
        damper_lower_m: [-3.500, 0.650, 0.290],
        damper_upper_m: [-3.420, 0.600, 0.790],
        wheel: WheelHardpoints {
            wheel_centre_m: [-3.450, 0.850, 0.335],
            design_camber_rad: -0.01,
            design_toe_rad: 0.002,
            tyre_radius_m: 0.335,
        },
        bar: Some(BarHardpoints {
            bar_axis_m: [-3.150, 0.0, 0.420],
            bar_arm_end_m: [-3.350, 0.680, 0.430],
            link_lower_m: [-3.360, 0.700, 0.310],
            drop_link_length_m: None,
        }),
        driveshaft_inner_m: None,
    };
    Linkage::SemiTrailingArm(Box::new(SemiTrailingArm::new(points).unwrap()))
}
