//! What is put between two openings that do not mate (rules 17 and 18 of counting). It knows no ends and no places.

use coilstick::trade::{PartId, Phase, Sex, SystemId, UsedAs, Word};

use crate::build::Builder;
use crate::made::{Made, Shape};
use crate::world::{MouthId, Tag};

impl Builder<'_> {
    /// Puts between a face and a target whatever they need to mate; gives the face that mates.
    pub(crate) fn bridge(
        &mut self,
        run: usize,
        size: Word,
        face: MouthId,
        target: MouthId,
        phase: Phase,
    ) -> MouthId {
        let mut face = face;
        // Each step brings the face nearer; no pair needs more than a handful.
        for _ in 0..12 {
            if self.world.mates(face, target) {
                return face;
            }
            face = self.bridge_step(run, size, face, target, phase);
        }
        panic!("nothing joins {:?} to {:?}", self.world.mouth(face), self.world.mouth(target));
    }

    fn bridge_step(
        &mut self,
        run: usize,
        of_run: Word,
        face: MouthId,
        target: MouthId,
        phase: Phase,
    ) -> MouthId {
        let tag = Tag { phase, ..self.tag(run) };
        let own = self.view.system_id(run);
        let (from, to) = (self.world.mouth(face).clone(), self.world.mouth(target).clone());
        match (from.shape, to.shape) {
            // Tube facing a thread: the adapter of the opposite thread, in both sizes.
            (Shape::TubeEnd(system), Shape::Thread(sex)) => {
                let (near, far) = self.adapter(system, from.size, sex.opposite(), to.size, tag);
                self.world.join(face, near, tag);
                far
            }
            // Two tubes facing each other: what joins them; else the way to the other size, then to the other system.
            (Shape::TubeEnd(system), Shape::TubeEnd(_) | Shape::Socket(_) | Shape::Compression)
                if from.size != to.size =>
            {
                // A port of the drain side that is larger than the tube that enters it (D9).
                let enters = to.shape == Shape::Socket(system) && self.view.of_drains(run);
                if enters && self.view.larger(to.size, from.size).is_gt() {
                    if self.view.has_bushing(system) {
                        return self.bushed(system, face, to.size, tag);
                    }
                    return self.least_piece_out_of(run, system, face, to.size, tag);
                }
                if to.shape.mates(Shape::Socket(system), &self.world.kin) {
                    return self.reducer_onto(system, face, to.size, tag);
                }
                let [near, far] = self.least_piece(run, system, to.size, tag);
                self.reduce(system, face, near, tag);
                far
            }
            (Shape::TubeEnd(system), Shape::TubeEnd(other)) => {
                if self.world.kin.are(system, other) {
                    let made =
                        self.view.network_part(UsedAs::Coupling.word(), &[from.size, from.size], system);
                    let fitting = self.world.fitting(made, tag);
                    self.world.join(face, self.world.opening(fitting, 0), tag);
                    return self.world.opening(fitting, 1);
                }
                self.transition_onto(system, face, other, tag)
            }
            (Shape::TubeEnd(system), Shape::Socket(other)) => {
                let [near, far] = self.least_piece(run, other, from.size, tag);
                self.transition(system, face, near, tag);
                far
            }
            // A socket facing anything else than its tube: a least piece of tube in it.
            (Shape::Socket(system), _) => {
                let [near, far] = self.least_piece(run, system, from.size, tag);
                self.world.join(face, near, tag);
                far
            }
            (Shape::Compression, _) => {
                let [near, far] = self.least_piece(run, own, from.size, tag);
                self.world.join(face, near, tag);
                far
            }
            // A thread facing no thread that it screws into: the adapter, and from there on as tube.
            (Shape::Thread(sex), to_shape) => {
                let size = if matches!(to_shape, Shape::Thread(_)) { of_run } else { to.size };
                let (near, far) = self.adapter(own, size, sex.opposite(), from.size, tag);
                self.world.join(face, far, tag);
                near
            }
            (Shape::TubeEnd(_), Shape::Compression | Shape::Closed | Shape::ClosedTubeEnd(_))
            | (Shape::Closed | Shape::ClosedTubeEnd(_), _) => {
                panic!("nothing joins {from:?} to {to:?}")
            }
        }
    }

    /// A least piece of a system's tube as an extra piece of the run.
    fn least_piece(&mut self, run: usize, system: SystemId, size: Word, tag: Tag) -> [MouthId; 2] {
        let own = self.view.system_id(run);
        let variant =
            if system == own { self.view.stuff(run, size).variant } else { self.view.system(system).variant };
        let stuff = self.view.stuff_of(system, variant, size, self.view.run(run).service);
        let length = self.view.system(system).least_piece;
        self.world.tube(stuff, length, tag, false, false)
    }

    /// A least piece of a larger size out of the piece that ends there, behind a reducing coupling (D9).
    fn least_piece_out_of(
        &mut self,
        run: usize,
        system: SystemId,
        face: MouthId,
        size: Word,
        tag: Tag,
    ) -> MouthId {
        let length = self.view.system(system).least_piece;
        let shorter = self.world.tube_of(face).and_then(|tube| {
            tube.length = tube.length.checked_sub(length).filter(|left| left.nanometres() > 0)?;
            Some(tube.along)
        });
        let [near, far] = self.least_piece(run, system, size, tag);
        if let Some(tube) = self.world.tube_of(near) {
            tube.along = shorter == Some(true);
        }
        self.reduce(system, face, near, tag);
        far
    }

    /// The system's adapter to a thread: its joint and its thread.
    fn adapter(
        &mut self,
        system: SystemId,
        size: Word,
        sex: Sex,
        thread: Word,
        tag: Tag,
    ) -> (MouthId, MouthId) {
        let makes = |part: PartId| Made::of(&self.view, part, &[size, thread], size, system);
        let shapes = |made: &Made| made.openings.iter().map(|one| one.shape).collect::<Vec<_>>();
        let found = self
            .view
            .used_as(UsedAs::Adapter.word(), system)
            .into_iter()
            .map(makes)
            .find(|made| shapes(made) == [Shape::Socket(system), Shape::Thread(sex)]);
        let made = found.unwrap_or_else(|| {
            let mut made = Made::missing(&self.view, UsedAs::Adapter.word(), &[size, thread], system);
            made.openings[1].shape = Shape::Thread(sex);
            made
        });
        let fitting = self.world.fitting(made, tag);
        (self.world.opening(fitting, 0), self.world.opening(fitting, 1))
    }

    /// A reducing coupling on a tube end; gives its other opening.
    fn reducer_onto(&mut self, system: SystemId, face: MouthId, other: Word, tag: Tag) -> MouthId {
        let size = self.world.mouth(face).size;
        let larger_first = self.view.larger(size, other).is_ge();
        let sizes = if larger_first { [size, other] } else { [other, size] };
        let made = self.view.network_part(UsedAs::ReducingCoupling.word(), &sizes, system);
        let fitting = self.world.fitting(made, tag);
        let (near, far) = if larger_first { (0, 1) } else { (1, 0) };
        self.world.join(face, self.world.opening(fitting, near), tag);
        self.world.opening(fitting, far)
    }

    /// A transition on a tube end; gives its opening of the other system.
    fn transition_onto(&mut self, system: SystemId, face: MouthId, other: SystemId, tag: Tag) -> MouthId {
        let made = self.transition_part(system, other, self.world.mouth(face).size);
        let (near, far) = (self.opening_for(&made, system), self.opening_for(&made, other));
        let fitting = self.world.fitting(made, tag);
        self.world.join(face, self.world.opening(fitting, near), tag);
        self.world.opening(fitting, far)
    }
}
