//! From sheets to a van the mechanics can compute: linkages tabulated once, parts put in their places.

use std::sync::{Arc, OnceLock};

use mechanics::elements::{
    AddedLeaf, AntiRollBar, BumpStop, Damper, DamperCurve, ElementFault, FittedAirSpring, Friction,
    RubberBush, Spring, SpringStack, Tyre,
};
use mechanics::linkage::{AxleSuspension, CornerTable, LeafFittings, Linkage};
use mechanics::statics::{
    Corner, FRONT, FittedBar, FittedStop, FourCorners, Parameter, REAR, Rest, Sensitivities, SprungMass,
    StopPlace, axle_of, side_of,
};

use crate::at_lock::{AtLock, NotAtLock};
use crate::damping::{AdjustableDamping, Damping, DampingSheet, class_damping};
use crate::facts::Language;
use crate::kit::{ClickSheet, Kit, KitAxle, KitSpring, LeafWorkSheet};
use crate::linkage_sheet::LinkageSheet;
use crate::loads::Carried;
use crate::spring_sheet::torsion_bar_spring;
use crate::suspension::suspension;
use crate::tabulated::tabulated;
use crate::tolerances::Tolerances;
use crate::units::{
    m_from_mm, mm_from_m, n_per_m_from_n_per_mm, nm_per_rad_from_nm_per_deg, point_m_from_mm,
    share_from_percent,
};
use crate::vehicle_sheet::{
    AxleSheet, DamperSheet, Grade, OriginalSpring, StopPosition, StopSheet, TyreSheet, VehicleSheet,
};
use crate::wording::{Adjuster, Axle, Doing, Obstacle, Said};

/// Why a sound sheet still does not make a van that stands.
#[derive(Debug, Clone, PartialEq)]
pub struct CannotStand {
    /// What was being done.
    pub doing: Doing,
    /// What stood in the way.
    pub because: Obstacle,
}

impl CannotStand {
    /// What was being done and what stood in the way.
    pub fn of(doing: Doing, because: impl Into<Obstacle>) -> Self {
        Self { doing, because: because.into() }
    }
}

impl std::fmt::Display for CannotStand {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}", self.words(Language::English))
    }
}

impl std::error::Error for CannotStand {}

fn while_doing<E: Into<Obstacle>>(doing: &Doing) -> impl Fn(E) -> CannotStand + '_ {
    move |because| CannotStand::of(doing.clone(), because)
}

/// Parts of one axle in their places, the same left and right.
#[derive(Debug, Clone)]
pub struct AxleParts {
    /// Kinematics of the left and the right corner.
    pub tables: [Arc<CornerTable>; 2],
    /// Parts between axle, leaf and body other than the original ones.
    pub leaf_fittings: LeafFittings,
    /// Springs between the seats.
    pub spring: SpringStack,
    /// Leaves that join the main ones.
    pub added_leaves: Vec<AddedLeaf>,
    /// Auxiliary air spring.
    pub air: Option<FittedAirSpring>,
    /// Rise of the spring seat above the original one, m; of a torsion bar the turn of its adjusting bolt.
    pub seat_shift_m: f64,
    /// Space taken by packing, m.
    pub seat_packing_m: f64,
    /// Damper.
    pub damper: Damper,
    /// Dry friction.
    pub friction: Friction,
    /// Damping.
    pub damping: Damping,
    /// Bump stop.
    pub stop: Option<FittedStop>,
    /// What is known of the main spring.
    pub spring_knowledge: SpringKnowledge,
}

/// How well a spring is known, which decides what may be said of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SpringKnowledge {
    /// Original spring, calibrated to the sheet's arch height.
    Original,
    /// Rate and free length as its maker states them.
    Stated,
    /// Only a drop is published: rate and length are a guess that meets the drop at a reference axle load.
    DropOnly {
        /// Axle load at which the published drop was placed, kg.
        reference_axle_load_kg: f64,
        /// Nine times out of ten the maker's reference load lies within this of it, kg.
        reference_plus_minus_kg: f64,
        /// Load of the spring at the reference, N: whatever its rate, there it has the length that gives the drop.
        load_at_reference_n: f64,
        /// How much longer the spring must be if the drop was meant at a heavier axle, m/kg.
        free_length_m_per_reference_kg: f64,
        /// Free length per metre of arch height, both springs of the axle changed together.
        free_length_m_per_arch_m: f64,
    },
}

/// A van class in one grade and on its tyres, ready to be loaded and fitted.
#[derive(Debug, Clone)]
pub struct PreparedVan<'a> {
    /// Its sheet.
    pub sheet: &'a VehicleSheet,
    /// Its grade.
    pub grade: &'a Grade,
    /// Tyre of each axle.
    pub tyres: [TyreSheet; 2],
    /// How far outboard of the original wheels it stands, m.
    pub outboard_m: f64,
    /// Found when it is first asked for.
    at_lock: OnceLock<Result<AtLock, NotAtLock>>,
    /// Kinematics of the left corners on original wheels.
    drawn: [Arc<CornerTable>; 2],
    side_force_ratios: [f64; 2],
    torsion_levers_m: [f64; 2],
    original: [AxleParts; 2],
    class_damping: [DamperCurve; 2],
}

/// Wheels other than the original ones.
#[derive(Debug, Clone, PartialEq)]
pub struct OtherWheels {
    /// Tyre of both axles.
    pub tyre: TyreSheet,
    /// How far outboard of the original wheels they stand, by offset and spacer, m.
    pub outboard_m: f64,
}

impl<'a> PreparedVan<'a> {
    /// Tabulates the linkages and finds the free lengths of the original springs from the arch heights that the sheet
    /// gives for running order on its original wheels; then puts the van on `wheels`.
    ///
    /// # Errors
    /// When hardpoints make no linkage, parts contradict each other, or the van finds no rest.
    pub fn new(
        sheet: &'a VehicleSheet,
        grade: &'a Grade,
        wheels: Option<&OtherWheels>,
    ) -> Result<Self, CannotStand> {
        let front = PreparedAxle::new(sheet, FRONT, &grade.front_spring, 0.0)?;
        let rear = PreparedAxle::new(sheet, REAR, &grade.rear_spring, 0.0)?;
        let mut van = Self {
            sheet,
            grade,
            tyres: [sheet.front.tyre.clone(), sheet.rear.tyre.clone()],
            outboard_m: 0.0,
            at_lock: OnceLock::new(),
            drawn: [&front, &rear].map(|axle| Arc::clone(&axle.parts.tables[0])),
            torsion_levers_m: [front.torsion_lever_m, rear.torsion_lever_m],
            side_force_ratios: [front.side_force_ratio, rear.side_force_ratio],
            class_damping: [DamperCurve::none(), DamperCurve::none()],
            original: [front.parts, rear.parts],
        };
        (van.original, van.class_damping) = van.calibrated_originals()?;
        if let Some(wheels) = wheels {
            van.stand_on(wheels)?;
        }
        Ok(van)
    }

    /// Puts the van on other wheels. Where they stand further out or in, their centres take other paths: the axles are
    /// tabulated anew, their springs as they were found.
    fn stand_on(&mut self, wheels: &OtherWheels) -> Result<(), CannotStand> {
        self.tyres = [wheels.tyre.clone(), wheels.tyre.clone()];
        self.outboard_m = wheels.outboard_m;
        if self.outboard_m.abs() <= 0.0 {
            return Ok(());
        }
        for (axle, spring) in [(FRONT, &self.grade.front_spring), (REAR, &self.grade.rear_spring)] {
            let anew = PreparedAxle::new(self.sheet, axle, spring, self.outboard_m)?;
            self.side_force_ratios[axle] = anew.side_force_ratio;
            self.torsion_levers_m[axle] = anew.torsion_lever_m;
            let spring = self.original[axle].spring.clone();
            self.original[axle] = AxleParts { spring, ..anew.parts };
        }
        Ok(())
    }

    /// The front wheels at full lock, or why that is not known.
    pub fn at_lock(&self) -> &Result<AtLock, NotAtLock> {
        self.at_lock.get_or_init(|| AtLock::of(self.sheet))
    }

    /// Kinematics of the left corner of an axle with its original parts.
    pub fn table(&self, axle: usize) -> &CornerTable {
        &self.original[axle].tables[0]
    }

    /// The same on original wheels.
    pub fn drawn_table(&self, axle: usize) -> &CornerTable {
        &self.drawn[axle]
    }

    /// Lever on which the torsion bars of an axle are counted as springs, m; `None` where it has none.
    pub fn torsion_lever_m(&self, axle: usize) -> Option<f64> {
        self.axle_sheet(axle).linkage.torsion_bar().map(|_| self.torsion_levers_m[axle])
    }

    /// Damping of an axle's parts along the rod.
    pub fn damping_curve(&self, axle: usize, damping: &Damping) -> DamperCurve {
        damping.curve(&self.class_damping[axle])
    }

    /// What would be turned to set the height of an axle: its torsion bars' bolts, or collars.
    pub fn adjuster(&self, axle: usize) -> Adjuster {
        let on_bars = self.axle_sheet(axle).linkage.torsion_bar().is_some();
        if on_bars { Adjuster::AdjustingBolt } else { Adjuster::Collar }
    }

    /// Original parts of both axles, as new.
    pub fn original_parts(&self) -> [AxleParts; 2] {
        self.original.clone()
    }

    /// Sheet of an axle.
    pub fn axle_sheet(&self, axle: usize) -> &'a AxleSheet {
        axle_sheet(self.sheet, axle)
    }

    /// Puts parts and loads together.
    pub fn assemble(&self, parts: &[AxleParts; 2], carried: &Carried) -> FourCorners {
        FourCorners {
            corners: std::array::from_fn(|i| self.corner(i, &parts[axle_of(i)])),
            bars: [FRONT, REAR].map(|axle| self.bar(axle)),
            sprung: self.sprung_mass(carried),
        }
    }

    /// What the suspension carries: all masses less the unsprung ones at their wheel centres.
    fn sprung_mass(&self, carried: &Carried) -> SprungMass {
        let mut mass_kg = 0.0;
        let mut moment_kg_m = [0.0; 3];
        let mut add = |kg: f64, at_m: [f64; 3]| {
            mass_kg += kg;
            for axis in 0..3 {
                moment_kg_m[axis] += kg * at_m[axis];
            }
        };
        for mass in &carried.masses {
            add(mass.mass_kg, mass.at_m);
        }
        for i in 0..4 {
            let [x, y, z] = self.table(axle_of(i)).wheel_centre_design_m;
            add(-self.unsprung_corner_kg(axle_of(i)), [x, side_of(i) * y, z]);
        }
        SprungMass { mass_kg, centre_of_gravity_m: moment_kg_m.map(|moment| moment / mass_kg) }
    }

    fn unsprung_corner_kg(&self, axle: usize) -> f64 {
        0.5 * self.axle_sheet(axle).unsprung_mass_kg
    }

    fn corner(&self, i: usize, parts: &AxleParts) -> Corner {
        let axle = axle_of(i);
        let sheet = self.axle_sheet(axle);
        let tyre = &self.tyres[axle];
        Corner {
            table: Arc::clone(&parts.tables[i % 2]),
            side: side_of(i),
            spring: parts.spring.clone(),
            seat_shift_m: parts.seat_shift_m,
            added_leaves: parts.added_leaves.clone(),
            air: parts.air.clone(),
            seat_packing_m: parts.seat_packing_m,
            spring_travel_factor: 1.0,
            body_shift_m: 0.0,
            damper: parts.damper,
            stop: parts.stop.clone(),
            bush: sheet.bush_rate_nm_per_deg.map(|rate| RubberBush {
                rate_nm_per_rad: nm_per_rad_from_nm_per_deg(rate),
                clamped_at_travel_m: 0.0,
            }),
            friction: parts.friction,
            wheel_force_n: 0.0,
            tyre: Tyre {
                unloaded_radius_m: m_from_mm(tyre.unloaded_radius_mm),
                rate_n_per_m: n_per_m_from_n_per_mm(tyre.rate_n_per_mm),
                rate_growth_n_per_m2: 0.0,
            },
            unsprung_mass_kg: self.unsprung_corner_kg(axle),
            lip_m: point_m_from_mm(sheet.arch_lip_mm),
        }
    }

    /// What resists roll at an axle beside its springs: anti-roll bar, or the twist of a beam.
    pub fn bar(&self, axle: usize) -> Option<FittedBar> {
        if let LinkageSheet::TwistBeam(beam) = &self.axle_sheet(axle).linkage {
            let rate_nm_per_rad = nm_per_rad_from_nm_per_deg(beam.torsional_rate_nm_per_deg);
            return Some(FittedBar::ThroughLinks(AntiRollBar { rate_nm_per_rad }));
        }
        let bar_sheet = self.axle_sheet(axle).bar.as_ref()?;
        let bar = AntiRollBar { rate_nm_per_rad: nm_per_rad_from_nm_per_deg(bar_sheet.rate_nm_per_deg) };
        if self.table(axle).bar_angle_rad.is_some() {
            return Some(FittedBar::ThroughLinks(bar));
        }
        // a beam turns as its wheels stand apart; a bar on independent arms follows the hubs, wherever the wheels stand
        let table =
            if self.axle_sheet(axle).linkage.is_joined() { self.table(axle) } else { self.drawn_table(axle) };
        Some(FittedBar::AtTheAxle { bar, track_m: 2.0 * table.wheel_centre_design_m[1] })
    }

    /// Changes the free lengths of front and rear springs until both axles stand at given arch heights (mm).
    ///
    /// Newton's method in two unknowns, with the exact response of the rest position to each pair of springs.
    fn with_free_lengths_for(
        &self,
        parts: &[AxleParts; 2],
        carried: &Carried,
        arch_height_m: [f64; 2],
    ) -> Result<[AxleParts; 2], CannotStand> {
        let doing = Doing::FindingFreeLengths;
        let mut parts = parts.clone();
        for _ in 0..40 {
            let van = self.assemble(&parts, carried);
            let rest = van.rest().map_err(while_doing(&doing))?;
            let miss = [FRONT, REAR].map(|axle| arch_height_m[axle] - axle_mean(&rest.arch_height_m, axle));
            if miss.iter().all(|m| m.abs() < CALIBRATED_WITHIN_M) {
                return Ok(parts);
            }
            let pair = pair_responses(&van, &rest);
            let Some(change) = changes_for(pair, miss) else { break };
            for axle in [FRONT, REAR] {
                parts[axle].spring.main.free_length_m += change[axle].clamp(-0.1, 0.1);
            }
        }
        Err(CannotStand::of(doing, Obstacle::NoSprings(arch_height_m.map(mm_from_m))))
    }

    /// Original parts that meet the sheet's arch heights, and what a damper of its class does in each axle.
    fn calibrated_originals(&self) -> Result<([AxleParts; 2], [DamperCurve; 2]), CannotStand> {
        let heights =
            [&self.grade.front_spring, &self.grade.rear_spring].map(|s| m_from_mm(s.arch_height_mm));
        let carried = Carried::running_order(self.sheet);
        let doing = Doing::StandingOnOriginals(self.sheet.id.clone());
        let parts =
            self.with_free_lengths_for(&self.original, &carried, heights).map_err(while_doing(&doing))?;
        let van = self.assemble(&parts, &carried);
        let rest = van.rest().map_err(while_doing(&doing))?;
        let miss = |axle: usize| axle_mean(&rest.arch_height_m, axle) - heights[axle];
        let worst_first = if miss(REAR).abs() > miss(FRONT).abs() { [REAR, FRONT] } else { [FRONT, REAR] };
        for axle in worst_first {
            let part = &parts[axle];
            let (left, miss_m) = (2 * axle, miss(axle));
            let limits = van.travel_limits(&rest, left);
            if miss_m.abs() > CALIBRATED_WITHIN_M || limits.rebound_m < 0.0 || limits.to_metal_m < 0.0 {
                let (arch_mm, travel_mm) = (mm_from_m(heights[axle]), mm_from_m(rest.travel_m[left]));
                let because = Obstacle::BeyondTravel { axle: Axle::of(axle), arch_mm, travel_mm };
                return Err(CannotStand { doing, because });
            }
            if self.axle_sheet(axle).linkage.holds_its_spring() {
                continue;
            }
            let room_m = part.spring.main.free_length_m - part.spring.main.solid_length_m.unwrap_or(0.0);
            if room_m.is_nan() || room_m <= 0.0 || part.spring.main.free_length_m > LONGEST_SPRING_M {
                let arch_mm = mm_from_m(heights[axle]);
                let length_mm = mm_from_m(part.spring.main.free_length_m);
                let because = Obstacle::SpringTooLong { axle: Axle::of(axle), arch_mm, length_mm };
                return Err(CannotStand { doing, because });
            }
        }
        let class = |axle| class_damping(&van, &rest, axle).map_err(while_doing(&doing));
        let classes = [class(FRONT)?, class(REAR)?];
        Ok((parts, classes))
    }

    /// Parts of both axles with a kit on top of what is fitted, collars as delivered.
    ///
    /// # Errors
    /// When the kit's parts contradict the van's.
    pub fn with_kit(
        &self,
        fitted: &[AxleParts; 2],
        kit: &Kit,
        tolerances: &Tolerances,
    ) -> Result<[AxleParts; 2], CannotStand> {
        let mut parts = fitted.clone();
        for axle in [FRONT, REAR] {
            let Some(kit_axle) = kit.axle(axle) else { continue };
            let doing = Doing::Fitting(Axle::of(axle), kit.name.clone());
            parts[axle] = self.kit_parts(axle, &parts[axle], kit_axle).map_err(while_doing(&doing))?;
        }
        for axle in [FRONT, REAR] {
            if let Some(KitAxle { spring: Some(KitSpring::DropOnly { .. }), .. }) = kit.axle(axle) {
                parts[axle] = self.drop_only_parts(axle, &parts[axle], kit, tolerances)?;
            }
        }
        Ok(parts)
    }

    fn kit_parts(&self, axle: usize, fitted: &AxleParts, kit: &KitAxle) -> Result<AxleParts, Obstacle> {
        let mut parts = fitted.clone();
        if let Some(main) = self.stated_spring(axle, kit)? {
            parts.spring.main = main;
            parts.added_leaves = Vec::new();
            parts.spring_knowledge = SpringKnowledge::Stated;
            parts.spring.helper = match &kit.helper {
                Some(helper) => Some(Spring::linear(
                    n_per_m_from_n_per_mm(helper.rate_n_per_mm),
                    m_from_mm(helper.free_length_mm),
                    Some(m_from_mm(helper.solid_length_mm)),
                )?),
                None => None,
            };
            parts.seat_packing_m = 0.0;
            parts.seat_shift_m = 0.0;
        }
        parts.seat_packing_m += m_from_mm(kit.seat_packing_mm);
        if let Some(collar) = &kit.collar {
            parts.seat_shift_m = m_from_mm(collar.seat_at_zero_mm + collar.delivered_mm);
        }
        if let Some(sheet) = &kit.damper {
            let per_spring_load = parts.friction.per_spring_load;
            (parts.damper, parts.friction) = damper(sheet, self.side_force_ratios[axle])?;
            parts.friction.per_spring_load = per_spring_load;
            parts.damping = kit_damping(sheet, kit.clicks.as_ref())?;
        }
        if let Some(sheet) = &kit.stop {
            parts.stop = Some(fitted_stop(sheet, self.table(axle))?);
        }
        if let (Some(height_mm), Some(original)) = (kit.stop_trimmed_to_mm, &self.original[axle].stop) {
            let stop = original.stop.trimmed_to(m_from_mm(height_mm))?;
            parts.stop = Some(FittedStop { stop, ..original.clone() });
        }
        if let Some(work) = &kit.leaf_work {
            self.work_on_leaves(axle, work, &mut parts)?;
        }
        if let Some(air) = &kit.air {
            parts.air = Some(air.fitted()?);
        }
        Ok(parts)
    }

    /// The main spring of a kit, where its maker states more than a drop.
    fn stated_spring(&self, axle: usize, kit: &KitAxle) -> Result<Option<Spring>, Obstacle> {
        let on_torsion_bars = self.axle_sheet(axle).linkage.torsion_bar().is_some();
        let lever_m = self.torsion_levers_m[axle];
        Ok(match &kit.spring {
            Some(KitSpring::Known { law, free_length_mm, solid_length_mm }) => {
                if on_torsion_bars {
                    return Err(Obstacle::OnTorsionBars);
                }
                Some(law.spring(*free_length_mm, *solid_length_mm, lever_m)?)
            }
            Some(KitSpring::TorsionBars { rate_nm_per_deg, untwisted_below_design_deg }) => {
                if !on_torsion_bars {
                    return Err(Obstacle::NoTorsionBars);
                }
                Some(torsion_bar_spring(*rate_nm_per_deg, *untwisted_below_design_deg, lever_m)?)
            }
            Some(KitSpring::DropOnly { .. }) | None => None,
        })
    }

    /// Blocks, wedges, shackles and leaves: what a kit does to the original leaf springs.
    fn work_on_leaves(
        &self,
        axle: usize,
        work: &LeafWorkSheet,
        parts: &mut AxleParts,
    ) -> Result<(), Obstacle> {
        let sheet = self.axle_sheet(axle);
        if !matches!(sheet.linkage, LinkageSheet::LeafAxle(_)) {
            return Err(Obstacle::NoLeaves);
        }
        if work.re_arched_mm.abs() > 0.0 {
            let original = &self.original[axle];
            parts.spring = original.spring.clone();
            // the pack goes into the press whole: its added leaves are met as much earlier or later
            let re_arched_m = m_from_mm(work.re_arched_mm);
            parts.spring.main.free_length_m += re_arched_m;
            parts.added_leaves = original
                .added_leaves
                .iter()
                .map(|leaf| AddedLeaf { touched_at_m: leaf.touched_at_m + re_arched_m, ..*leaf })
                .collect();
            parts.spring_knowledge = SpringKnowledge::Stated;
        }
        for leaf in &work.added_leaves {
            parts.added_leaves.push(leaf.added_leaf()?);
        }
        let fittings = LeafFittings {
            block_m: m_from_mm(work.block_mm),
            wedge_rad: work.wedge_deg.to_radians(),
            shackle_longer_m: m_from_mm(work.shackle_longer_mm),
        };
        if fittings != parts.leaf_fittings {
            // blocks are never stacked: what the kit brings takes the place of what was there
            parts.tables = tabulated(&suspension(sheet, fittings, self.outboard_m)?)?;
            parts.leaf_fittings = fittings;
        }
        Ok(())
    }

    /// A spring that lowers the van by the published drop at the maker's reference axle load.
    ///
    /// With no reference stated the load is taken in the middle of the kit's axle load band (or between running
    /// order and plate), and the half band enters the range.
    fn drop_only_parts(
        &self,
        axle: usize,
        fitted: &AxleParts,
        kit: &Kit,
        tolerances: &Tolerances,
    ) -> Result<AxleParts, CannotStand> {
        let doing = Doing::PlacingDrop(kit.name.clone());
        let Some(kit_axle) = kit.axle(axle) else { return Ok(fitted.clone()) };
        let Some(KitSpring::DropOnly { maker_drop_mm, reference_axle_load_kg }) = &kit_axle.spring else {
            return Ok(fitted.clone());
        };
        let running = [self.sheet.running_order.front_axle_kg, self.sheet.running_order.rear_axle_kg];
        let plated = [self.grade.plated_front_axle_kg, self.grade.plated_rear_axle_kg];
        let band = kit_axle.axle_load_kg.unwrap_or([running[axle], plated[axle]]);
        let (reference_kg, plus_minus_kg) = match reference_axle_load_kg {
            Some(kg) => (*kg, 0.0),
            // 90 % of a uniform band lies within 0.45 of its width around the middle
            None => (0.5 * (band[0] + band[1]), 0.45 * (band[1] - band[0])),
        };
        let mut loads = running;
        loads[axle] = reference_kg;
        let carried = Carried::axle_loads(self.sheet, loads);
        let originals = self.original_parts();
        let original_rest = self.assemble(&originals, &carried).rest().map_err(while_doing(&doing))?;
        let original_m = [FRONT, REAR].map(|a| axle_mean(&original_rest.arch_height_m, a));
        let mut target_m = original_m;
        target_m[axle] -= m_from_mm(*maker_drop_mm);

        let factor = 1.0 + share_from_percent(tolerances.unknown_rate_expected_percent);
        let mut parts = originals.clone();
        parts[axle] = fitted.clone();
        parts[axle].spring = SpringStack::single(originals[axle].spring.main.with_rate_factor(factor));
        parts[axle].spring.main.solid_length_m = None;
        parts[axle].spring.mount_rate_n_per_m = fitted.spring.mount_rate_n_per_m;
        (parts[axle].seat_shift_m, parts[axle].seat_packing_m) = (0.0, 0.0);
        let mut placed =
            self.with_free_lengths_for(&parts, &carried, target_m).map_err(while_doing(&doing))?;
        let van = self.assemble(&placed, &carried);
        let rest = van.rest().map_err(while_doing(&doing))?;
        let load = van.corners[2 * axle].spring_at(rest.axle_travel(2 * axle));
        let sinks_m_per_kg = self.arch_per_axle_kg(axle, &van, &rest);
        let original_sinks_m_per_kg =
            self.arch_per_axle_kg(axle, &self.assemble(&originals, &carried), &original_rest);
        let arch_m_per_free_length_m = pair_responses(&van, &rest)[axle][axle];
        placed[axle].spring_knowledge = SpringKnowledge::DropOnly {
            reference_axle_load_kg: reference_kg,
            reference_plus_minus_kg: plus_minus_kg,
            load_at_reference_n: load.force_n,
            free_length_m_per_reference_kg: (original_sinks_m_per_kg - sinks_m_per_kg)
                / arch_m_per_free_length_m,
            free_length_m_per_arch_m: 1.0 / arch_m_per_free_length_m,
        };
        Ok(placed[axle].clone())
    }

    /// Change of an axle's arch height per kilogram over that axle, m/kg.
    fn arch_per_axle_kg(&self, axle: usize, van: &FourCorners, rest: &Rest) -> f64 {
        let [x, _, z] = self.table(axle).wheel_centre_design_m;
        let response = Sensitivities::at(van, rest).response_to(Parameter::MassAt([x, 0.0, z]));
        axle_mean(&response.arch_height_m, axle)
    }
}

/// Original springs must bring the van this close to the sheet's arch heights, m.
const CALIBRATED_WITHIN_M: f64 = 1e-8;
/// No spring under a light van is longer than this, m.
const LONGEST_SPRING_M: f64 = 1.0;

/// Words for the axles.
pub const AXLE_NAMES: [&str; 2] = ["front", "rear"];

/// Mean of the left and right value of an axle.
pub fn axle_mean(corners: &[f64; 4], axle: usize) -> f64 {
    0.5 * (corners[2 * axle] + corners[2 * axle + 1])
}

/// Changes at front and rear that move front and rear by `wanted`, with `slopes` [changed][read]; `None` where they do
/// not determine them.
pub(crate) fn changes_for(slopes: [[f64; 2]; 2], wanted: [f64; 2]) -> Option<[f64; 2]> {
    let determinant = slopes[0][0] * slopes[1][1] - slopes[0][1] * slopes[1][0];
    (determinant.abs() > 1e-9).then(|| {
        [
            (slopes[1][1] * wanted[0] - slopes[1][0] * wanted[1]) / determinant,
            (slopes[0][0] * wanted[1] - slopes[0][1] * wanted[0]) / determinant,
        ]
    })
}

/// Arch height of [axle of the changed springs][axle read] per metre of free length of both springs of an axle.
fn pair_responses(van: &FourCorners, rest: &Rest) -> [[f64; 2]; 2] {
    let sensitivities = Sensitivities::at(van, rest);
    [FRONT, REAR].map(|changed| {
        let left = sensitivities.response_to(Parameter::FreeLength(2 * changed)).arch_height_m;
        let right = sensitivities.response_to(Parameter::FreeLength(2 * changed + 1)).arch_height_m;
        [FRONT, REAR].map(|read| axle_mean(&left, read) + axle_mean(&right, read))
    })
}

/// Sheet of an axle.
pub fn axle_sheet(sheet: &VehicleSheet, axle: usize) -> &AxleSheet {
    if axle == FRONT { &sheet.front } else { &sheet.rear }
}

/// Suspension and original parts of one axle, before the free length is known.
struct PreparedAxle {
    side_force_ratio: f64,
    torsion_lever_m: f64,
    parts: AxleParts,
}

impl PreparedAxle {
    fn new(
        sheet: &VehicleSheet,
        axle: usize,
        spring: &OriginalSpring,
        outboard_m: f64,
    ) -> Result<Self, CannotStand> {
        let doing = Doing::BuildingAxle(Axle::of(axle), sheet.id.clone());
        let axle_sheet = axle_sheet(sheet, axle);
        let suspension =
            suspension(axle_sheet, LeafFittings::default(), outboard_m).map_err(while_doing(&doing))?;
        let mut tables = tabulated(&suspension).map_err(while_doing(&doing))?;
        let torsion_lever_m = torsion_lever_m(&suspension);
        if let Some((_, anchor_arm_mm)) = axle_sheet.linkage.torsion_bar() {
            // the seat shift is read at the adjusting bolt: a millimetre there turns the bar by 1 mm / anchor arm
            for table in &mut tables {
                Arc::make_mut(table).seat_shift_ratio = torsion_lever_m / m_from_mm(anchor_arm_mm);
            }
        }
        let side_force_ratio = side_force_ratio(&suspension, &tables[0]).map_err(while_doing(&doing))?;
        let parts = original_parts(axle_sheet, spring, tables, side_force_ratio, torsion_lever_m)
            .map_err(while_doing(&doing))?;
        Ok(Self { side_force_ratio, torsion_lever_m, parts })
    }
}

/// Lever on which a torsion bar's rate acts, m; 1 m where there is no bar and nobody asks.
fn torsion_lever_m(suspension: &AxleSuspension) -> f64 {
    match suspension {
        AxleSuspension::Independent(Linkage::DoubleWishbone(wishbones)) => wishbones.torsion_bar_lever_m(),
        _ => None,
    }
    .unwrap_or(1.0)
}

/// Side force at a strut's top mount per suspension force at the wheel; none on other suspensions.
fn side_force_ratio(
    suspension: &AxleSuspension,
    table: &CornerTable,
) -> Result<f64, mechanics::linkage::LinkageLocks> {
    match suspension {
        AxleSuspension::Independent(Linkage::Strut(strut)) => {
            let motion_ratio = -table.spring_length_m.at(0.0).slope;
            strut.top_mount_side_force_n(0.0, 1.0, 1.0 / motion_ratio)
        }
        _ => Ok(0.0),
    }
}

fn original_parts(
    sheet: &AxleSheet,
    spring: &OriginalSpring,
    tables: [Arc<CornerTable>; 2],
    side_force_ratio: f64,
    torsion_lever_m: f64,
) -> Result<AxleParts, ElementFault> {
    // any free length will do here: calibration moves it to where the sheet's arch height needs it
    let design = tables[0].spring_length_m.at(0.0);
    let nominal_load_n = 5000.0;
    let law = &spring.law;
    let free_length_mm = law.nominal_free_length_mm(mm_from_m(design.value), nominal_load_n, torsion_lever_m);
    let main = law.spring(free_length_mm, spring.solid_length_mm, torsion_lever_m)?;
    let mount_rate_n_per_m = sheet.spring_mount_rate_n_per_mm.map(n_per_m_from_n_per_mm);
    let (damper, mut friction) = damper(&sheet.damper, side_force_ratio)?;
    friction.per_spring_load = share_from_percent(spring.interleaf_friction_percent);
    let stop = sheet.stop.as_ref().map(|stop| fitted_stop(stop, &tables[0])).transpose()?;
    Ok(AxleParts {
        tables,
        leaf_fittings: LeafFittings::default(),
        spring: SpringStack { main, helper: None, mount_rate_n_per_m },
        added_leaves: spring.added_leaves.iter().map(|leaf| leaf.added_leaf()).collect::<Result<_, _>>()?,
        air: None,
        seat_shift_m: 0.0,
        seat_packing_m: 0.0,
        damper,
        friction,
        damping: Damping::Original(stated_curve(&sheet.damper)?),
        stop,
        spring_knowledge: SpringKnowledge::Original,
    })
}

/// Damping of a kit's dampers as they are sold.
fn kit_damping(sheet: &DamperSheet, clicks: Option<&ClickSheet>) -> Result<Damping, ElementFault> {
    if let Some(clicks) = clicks
        && let Some([softest, hardest]) = &clicks.ends
    {
        return Ok(Damping::Adjustable(AdjustableDamping {
            softest: softest.curve()?,
            hardest: hardest.curve()?,
            set_at: clicks.share_of_hard(clicks.start_at),
        }));
    }
    Ok(Damping::Kit(stated_curve(sheet)?))
}

fn stated_curve(sheet: &DamperSheet) -> Result<Option<DamperCurve>, ElementFault> {
    sheet.damping.as_ref().map(DampingSheet::curve).transpose()
}

fn damper(sheet: &DamperSheet, side_force_ratio: f64) -> Result<(Damper, Friction), ElementFault> {
    let damper = Damper::new(
        m_from_mm(sheet.open_length_mm),
        m_from_mm(sheet.closed_length_mm),
        sheet.gas_force_n,
        n_per_m_from_n_per_mm(sheet.gas_rate_n_per_mm),
    )?;
    let friction = Friction {
        base_n: sheet.friction_n,
        per_side_force: sheet.friction_per_side_force,
        side_force_ratio,
        per_spring_load: 0.0,
    };
    Ok((damper, friction))
}

fn fitted_stop(sheet: &StopSheet, table: &CornerTable) -> Result<FittedStop, ElementFault> {
    let stop: BumpStop = sheet.bump_stop()?;
    let place = match sheet.position {
        StopPosition::Damper => StopPlace::Damper,
        StopPosition::Spring => StopPlace::Spring,
        StopPosition::Wheel => {
            let track_m = 2.0 * table.wheel_centre_design_m[1];
            let other_share = sheet.base_mm.map_or(0.0, |base_mm| 0.5 * (1.0 - m_from_mm(base_mm) / track_m));
            StopPlace::Wheel { ratio: sheet.wheel_ratio, other_share }
        }
    };
    Ok(FittedStop { stop, place, whole_contact_m: m_from_mm(sheet.contact_mm) })
}
