//! What generated houses have beside their runs: patterns, parts and systems that bring out the rules. All invented.

/// Patterns that are only for trying rules out.
pub(crate) const PATTERNS: &str = "\
pattern,part,quantity,per,size,variant,where,every,system,only,phase\n\
valve at start,ball valve,1,run,,,start,,,,\n\
valve at end,ball valve,1,run,,,end,,,,\n\
valve inside,ball valve,1,run,,,3 ft,,,,\n\
valve before end,ball valve,1,run,,,-2 ft,,,,\n\
two valves,ball valve,2,run,,,2 ft,,,,\n\
valve a tap,ball valve,1,tap,,,start,,,,\n\
regulated,male adapter,1,run,,,4 ft,,,,\n\
regulated,pressure regulator,1,run,,,4 ft,,,,\n\
regulated,male adapter,1,run,,,4 ft,,,,\n\
bare regulator,pressure regulator,1,run,,,start,,,,\n\
bare regulator,ball valve,1,run,,,start,,,,\n\
drained,drain tee,1,run,,,end,,,,\n\
temporary and box,cap,1,end,,,,,,,rough-in\n\
temporary and box,washer box,1,place,1/2,,,,,,trim\n\
temporary and copper,cap,1,end,,,,,,,rough-in\n\
temporary and copper,copper sink,1,place,,,,,,,trim\n\
hot valve,ball valve,1,run,,,start,,,service=hot,\n\
copper union,union,1,run,,,end,,copper,,\n\
plates,nail plate,1,length,,,,10 ft,,,\n\
plates,nail plate,2,turn,,,,,,,\n\
plates,nail plate,1,tap,,,,,,,\n\
plates,nail plate,1,both,,,,,,,\n\
guards,nail plate,1,elbow,,,,,,,\n\
guards,label,2,run,,,,,,,trim\n\
hooked,nail plate,1,hooks,,,,,,,\n\
long stub,elbow,1,end,,,,,,,\n\
long stub,tube,6 in,end,,,,,,,\n\
long stub,stub-out,1,end,,,,,,,\n\
long stub,supply stop,1,end,,,,,,,trim\n\
male end,male adapter,1,end,,,,,,,\n\
female end,female adapter,1,end,,,,,,,\n\
open elbow,elbow,1,end,,,,,,,\n\
street end,street elbow,1,end,,,,,,,\n\
late bibb,hose bibb,1,end,,,,,,,trim\n\
late stop,supply stop,1,end,,,,,,,trim\n\
stub and two,tee,1,end,,,,,,,\n\
stub and two,stub-out,1,end,,,,,,,\n\
shut both,cap,1,both,,,,,,,\n\
shut start,cap,1,start,,,,,,,rough-in\n\
small end,male adapter,1,end,1/2,,,,,,\n\
half washer,washer box,1,place,1/2,,,,,,\n\
half shower,shower valve,1,place,1/2,,,,,,\n\
late washer,washer box,1,place,1/2,,,,,,trim\n\
threaded sink,threaded sink,1,place,,,,,,,trim\n\
late male,male adapter,1,end,,,,,,,trim\n\
late tail,tube,6 in,end,,,,,,,tie-in\n\
late tail,stub-out,1,end,,,,,,,trim\n\
twice late,female adapter,1,end,,,,,,,tie-in\n\
twice late,hose bibb,1,end,,,,,,,trim\n\
early elbow,elbow,1,both,,,,,,,underground\n\
small stop,stub-out,1,end,3/8,,,,,,\n\
small stop,supply stop,1,end,3/8,,,,,,trim\n\
street start,street elbow,1,start,,,,,,,rough-in\n\
nipple end,nipple,1,end,,,,,,,\n\
nipple end,tub spout,1,end,,,,,,,trim\n\
drained start,drain tee,1,start,,,,,,,\n\
late valve,ball valve,1,run,,,-1 ft,,,,trim\n\
early valve,ball valve,1,run,,,1 ft,,,,underground\n\
two boxes,washer box,2,place,,,,,,,\n\
half a label,label,0.5,place,,,,,,,\n\
half a label,nail plate,1.5,turn,,,,,,,\n\
half a label,nail plate,0.5,both,,,,,,,\n\
labelled,label,1,place,,,,,,,\n\
manifold,manifold of,1,place,,,,,,,\n\
threaded manifold,threaded manifold,1,place,,,,,,,\n\
sized manifold,sized manifold,1,place,,,,,,,\n\
blind manifold,blind manifold,1,place,,,,,,,trim\n\
bath valve,ball valve,1,run,,,2 ft,,,area=bath,\n\
bath box,washer box,1,place,1/2,,,,,area=bath,\n\
bath box,label,1,place,,,,,,area=attic,\n\
mixing valve,mixing valve,1,place,1/2,,,,,,\n\
loop heater,loop heater,1,place,,,,,,,\n\
nothing,,,,,,,,,,\n";

/// Patterns of drains that are only for trying rules out, behind those of water.
pub(crate) const DRAIN_PATTERNS: &str = "\
bare trap,P-trap,1,end,,,,,,,\n\
late trap,P-trap,1,end,,,,,,,rough-in\n\
late trap,tube,9 in,end,,,,,,,rough-in\n\
late trap,receptor,1,end,,,,,,,trim\n\
wide floor drain,P-trap,1,end,3,,,,,,\n\
wide floor drain,floor drain body,1,end,3,,,,,,\n";

/// Parts that those patterns ask for.
pub(crate) const PARTS: &str = "\
part,ports,class,used as,also called,variant,supports,system\n\
nail plate,,support,,,,,\n\
label,,device,,,,,\n\
drain tee,\"joint, joint, female thread\",fitting,,,,,\n\
street elbow,\"tube end, joint\",fitting,,,,,\n\
copper sink,\"hot: cup joint 1/2, cold: cup joint 1/2\",device,,,,,\n\
threaded sink,\"hot: male thread 1/2, cold: male thread 1/2\",trim,,,,,\n\
manifold of 2,\"in: joint 3/4, joint 1/2, joint 1/2\",manifold,,,,1,\n\
manifold offset of 3,\"in: joint 3/4, joint 1/2\",manifold,,,,1,\n\
manifold of 4,\"in: joint 3/4, in: joint 3/4, joint 1/2, joint 1/2, joint 1/2, joint 1/2\",manifold,,,,2,\n\
threaded manifold of 2,\"in: female thread 3/4, male thread 1/2, male thread 1/2\",manifold,,,,1,\n\
threaded manifold of 4,\"in: female thread 1, male thread 1/2, male thread 1/2, female thread 1/2, male thread 1/2\",manifold,,,,,\n\
sized manifold of 3,\"in: joint, joint, joint, joint\",manifold,,,,,\n\
sized manifold of 5,\"in: joint, in: joint, joint, joint, joint, joint, joint\",manifold,,,,1,\n\
blind manifold of 3,\"in: joint 3/4, joint 1/2, joint 1/2, joint 1/2, closed\",manifold,,,,,\n\
mixing valve,\"hot: joint, cold: joint, mixed: joint\",device,,,,,\n\
loop heater,\"cold: joint, hot return: joint 3/4, hot: male thread 3/4\",device,,,,,\n";

pub(crate) const JOINT_HEADINGS: &str = "joint,size,part,amount,unit,per\n";

/// Parts of a second ring system, beside those of the first.
pub(crate) const CRIMP_PARTS: &str = "\
crimp ring,,ring,,,,,pex-crimp\n";

pub(crate) const SYSTEM_HEADINGS: &str =
    "system,side,tube,fit,joint,stock length,least piece,turns,colors,variant\n";

/// A second ring system, without a price on its colors.
pub(crate) const CRIMP: &str = "pex-crimp,water,pex,barb,crimp,,3 in,bend,no,\n";

/// The first ring system handled in sticks.
pub(crate) const CLAMP_IN_STICKS: &str = "pex-clamp,water,pex,barb,clamp,10 ft,2 in,bend,yes,\n";

/// The second ring system's joints, three a pack of tape to make an amount that is no decimal.
pub(crate) const CRIMP_JOINTS: &str = "crimp,,crimp ring,1,each,1\ncrimp,3/4,thread tape,0.5,roll,8\n";
