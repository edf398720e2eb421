/** Fitting the sensor, step by step, each with what to beware of before it: plain data for sheet, command and window. */
import { type LengthUnits, lengthText } from './inch-fraction.ts';
import type { Placement } from './placement.ts';
import { chooseWire } from './supply-wire.ts';

export interface FittingStep {
  readonly title: string;
  /** Read before the step is begun. */
  readonly cautions: readonly string[];
  readonly doings: readonly string[];
}

/** What is needed at the machine. */
export interface FittingKit {
  readonly tools: readonly string[];
  readonly consumables: readonly string[];
}

export const DEFER =
  'Follow the machine maker’s instructions and local rules; they come before this sheet. Electrical work is for a qualified person.';

/** Run of the feed and current that the guidance is made for: battery to elevator and back, sensor with logger and receiver. */
const RUN_M = 6;
const LOAD_A = 1;

const STOPPED =
  'Engine off, key out and in your pocket, everything stopped, header down or blocked. Separator and elevator share a drive: what is engaged can move.';
const TURNING =
  'A second person is warned, and says so, before anything is turned by hand. Nobody’s hand is near chain, wheels or belts while it turns.';

export function fittingKit(placement: Placement, units: LengthUnits): FittingKit {
  const pilot = lengthText(placement.pilot_mm, units, 32);
  const hole = lengthText(placement.hole_mm, units, 32);
  return {
    tools: [
      'rule, tape, square, spirit level, scriber and centre punch',
      `drill with a bit of ${pilot} and a depth collar that cannot slip; step bit or hole saw of ${hole} with a stop`,
      'half-round file or deburring tool, magnet and vacuum cleaner for the chips',
      'eye and ear protection, gloves for edges (none near a turning drill), dust mask, steady ladder or platform',
      'ratchet crimper, wire stripper, multimeter; wheel blocks and header stops',
    ],
    consumables: [
      `wire, fuse and holder as below; crimp splices red for 18 gauge and finer, blue for 16 and heavier; heat-shrink`,
      'grommets, loom, ties, clamps; screws with lock washers; touch-up paint; sealant that stands grain dust',
      'lint-free cloth and alcohol for the lenses; the printed template, tape to hold it',
    ],
  };
}

/** Which wire and fuse, in one sentence. */
export function wireSentence(): string {
  const wire = chooseWire(RUN_M, LOAD_A);
  if (wire === undefined) return 'Ask a qualified person for the wire.';
  return `For ${RUN_M} m each way and ${LOAD_A} A: ${wire.gauge} gauge (${wire.area_mm2.toFixed(2)} mm²) loses ${wire.drop_v.toFixed(2)} V of 12 V; fuse ${wire.fuse_a} A within a hand’s breadth of the source; ${wire.splice} splices. Heavier is never wrong; a larger fuse than the wire bears always is.`;
}

export function fittingSteps(placement: Placement, units: LengthUnits): FittingStep[] {
  return [
    makeSafe(),
    mark(placement, units),
    guardChain(placement),
    drill(placement, units),
    mount(),
    wire(),
    tryOutStep(),
  ];
}

function makeSafe(): FittingStep {
  return {
    title: 'Make the machine safe',
    cautions: [STOPPED, DEFER],
    doings: [
      'Disconnect the battery, the negative lead first, and keep it from touching.',
      'Block wheels and header. Clear chaff and dust about the elevator: drilling makes sparks and hot chips; have an extinguisher at hand.',
      'Set ladder or platform on firm ground; three points of contact; nobody under the work.',
    ],
  };
}

function mark(placement: Placement, units: LengthUnits): FittingStep {
  const height = lengthText(placement.height_mm, units);
  const back = lengthText(placement.from_back_mm, units, 32);
  const inner = placement.blind
    ? 'Check the template’s printed rule against a real one. Wrap it round the back with its fold lines on the corners and its level line on the height; punch both marks through it.'
    : 'Do the same on the inner face, from the same shaft and the same back. Check with a level across: both marks are equally high.';
  return {
    title: 'Mark',
    cautions: [
      'Opened covers and edges of sheet metal cut: wear gloves. Keep covers that were taken off, with their screws.',
    ],
    doings: [
      `On the outer face: ${height} above the centre of the lower shaft, along the column.`,
      `There: ${back} from the outside of the column’s back. Punch.`,
      inner,
      'Look from both sides that no rib, seam, harness or hose is behind the marks.',
    ],
  };
}

function guardChain({ hole_to_chain_mm }: Placement): FittingStep {
  const room =
    hole_to_chain_mm === undefined
      ? 'Only paddles run behind the marks.'
      : `The chain’s line is ${Math.max(0, hole_to_chain_mm).toFixed(0)} mm from the hole’s edge.`;
  return {
    title: 'Keep the drill from chain and paddles',
    cautions: [TURNING, STOPPED],
    doings: [
      `${room} Open the inspection cover, and turn the elevator by hand until the stretch behind both marks is free of paddles: half a pitch of air above and below.`,
      'Then block the drive so that it cannot creep back, put the key back into your pocket, and check with a lamp or a straw through the pilot hole.',
      'Clamp the collar on the bit so that no more sticks out than the sheet is thick plus 5 mm; try it on scrap of the same thickness. The collar, not the hand, stops the bit.',
      'Each wall is drilled from its own outside. The bit never crosses the column.',
    ],
  };
}

function drill(placement: Placement, units: LengthUnits): FittingStep {
  const hole = lengthText(placement.hole_mm, units, 32);
  return {
    title: 'Drill',
    cautions: [
      'Eye and ear protection on. No loose sleeves, no gloves at the turning drill. Machine still blocked, key still in your pocket, battery still off.',
      'Brace for the moment when the bit breaks through: light pressure, both hands, secure stand.',
    ],
    doings: [
      `Pilot ${lengthText(placement.pilot_mm, units, 32)}, from outside, collar set. Look through both pilots: light has to pass straight across.`,
      `Open to ${hole} with a step bit whose next step cannot enter, or a hole saw with a stop. Deburr both sides, and paint the edge.`,
      'Take out every chip with magnet and vacuum cleaner: steel in grain spoils it, and a chip before the lens darkens it. Count tools.',
    ],
  };
}

function mount(): FittingStep {
  return {
    title: 'Mount and aim',
    cautions: [
      'Never look into the sender at close range. Do not overtighten: bent brackets and cracked lenses show later as a wrong zero.',
    ],
    doings: [
      'Receiver with its light on the outer side, where one person sees it while turning the machine over; sender on the inner side.',
      'The bracket’s own place is not critical: its slot lets the beam be centred afterwards. Move sender and receiver in their slots until the light is strongest, then to the middle of the range in which it stays on; tighten.',
      'Wipe the lenses. Seal round the holes, not over the lenses.',
    ],
  };
}

function wire(): FittingStep {
  return {
    title: 'Wire',
    cautions: [
      'Battery negative off until the last splice is made and checked. Electrical work is for a qualified person.',
      'Keep the loom off everything that moves or gets hot, with strain relief at both ends and slack where covers open.',
    ],
    doings: [
      wireSentence(),
      'Feed from a switched, fused source. Fuse at the source, not at the sensor. Earth to the battery or a bare, tight chassis bolt.',
      'Tug at every crimp. Tie every 20 cm. Grommet every sheet that is passed.',
    ],
  };
}

/** How the first log is taken, for the beam check. */
export function tryOutStep(): FittingStep {
  return {
    title: 'Try out',
    cautions: [
      TURNING,
      'All shields and covers back on, tools counted, people clear, before the engine is started. Stay away from the elevator while it runs.',
    ],
    doings: [
      'Battery on, logger on, key out. Turn the elevator by hand, slowly, through one round of the chain, counting paddles at the receiver’s light.',
      'Then run it empty for two minutes at working speed, and drive a few hundred metres. Stop, take the log.',
      'The beam check says what is well, what wants a look, and what to mend.',
    ],
  };
}
