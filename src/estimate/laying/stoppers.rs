//! What shuts an opening for good or for the test: plugs and caps in sockets, caps and plugs on threads, each with its
//! joint (rules 15 to 17 of counting).

use super::super::network::RunId;
use super::super::takeoff::Because;
use super::sheet::{Sheet, Who};
use crate::trade::{Sex, SystemId, UsedAs, Word};

/// A plug in an open socket, with its joint.
pub(super) fn plug(
    sheet: &mut Sheet<'_, '_>,
    run: RunId,
    who: Who,
    system: SystemId,
    size: Word,
    because: Because,
) {
    let use_ = if sheet.tables.used(system, UsedAs::Plug).is_some() { UsedAs::Plug } else { UsedAs::Cap };
    stop_up(sheet, run, who, system, size, use_, because);
}

/// The system's plug or cap in a socket, with its joint: a male end of its own.
pub(super) fn stop_up(
    sheet: &mut Sheet<'_, '_>,
    run: RunId,
    who: Who,
    system: SystemId,
    size: Word,
    use_: UsedAs,
    because: Because,
) {
    if let Some(part) = sheet.used(run, system, use_, "plug") {
        sheet.part(who, part, system, &[size], 1, because);
        sheet.male_ends(system, size, who.copies);
        sheet.joints(who, system, size, 1, because);
    }
}

/// A threaded cap or plug on an open thread.
pub(super) fn thread_cap(
    sheet: &mut Sheet<'_, '_>,
    run: RunId,
    who: Who,
    system: SystemId,
    sex: Sex,
    size: Word,
    because: Because,
) {
    match sheet.tables.thread_cap(system, sex.opposite()) {
        Some(part) => {
            sheet.part(who, part, system, &[size], 1, because);
            sheet.thread_joints(who, system, size, 1, because);
        }
        None => sheet.missing(
            run,
            system,
            format!("{} thread to close a {} one", sex.opposite().word(), sex.word()),
        ),
    }
}
