/**
 * How the value of each kind of field is written.
 */
import {
  CATEGORY_CODES,
  END_OF_SEQUENCE_CODES,
  FIRST_TELECOMMAND_CODES,
  FOLLOW_ON_CODES,
  FORMAT_CODES,
  NATURE_CODES,
  SECOND_TELECOMMAND_CODES,
} from '../../symbols/internal.js';
import type { Character } from '../values.js';
import { areaWriter } from './area.js';
import { channelWriter } from './channel.js';
import type { CallFieldKind, Content, FieldWriter } from './field.js';
import { messageWriter } from './message.js';
import { positionWriter } from './position.js';
import { casualtyWriter, identityWriter } from './station.js';
import { telephoneWriter } from './telephone.js';
import { timeWriter } from './time.js';
import { writeWith, wordWriter } from './writing.js';

/** Words are marked as pure, so that a bundle that only reads leaves all of this out. */
const WRITERS: Readonly<Record<CallFieldKind, FieldWriter>> = {
  format: /* @__PURE__ */ wordWriter(FORMAT_CODES),
  category: /* @__PURE__ */ wordWriter(CATEGORY_CODES),
  nature: /* @__PURE__ */ wordWriter(NATURE_CODES),
  telecommand1: /* @__PURE__ */ wordWriter(FIRST_TELECOMMAND_CODES),
  telecommand2: /* @__PURE__ */ wordWriter(SECOND_TELECOMMAND_CODES),
  followOn: /* @__PURE__ */ wordWriter(FOLLOW_ON_CODES),
  eos: /* @__PURE__ */ wordWriter(END_OF_SEQUENCE_CODES),
  identity: identityWriter,
  casualty: casualtyWriter,
  area: areaWriter,
  position: positionWriter,
  time: timeWriter,
  channel: channelWriter,
  message: messageWriter,
  acknowledgedMessage: messageWriter,
  irregularMessage: messageWriter,
  telephone: telephoneWriter,
};

/** The characters of a field of a call: its value, its unassigned symbols, its received characters or its constant. */
export function writeField({ kind, constant }: Content, value: unknown, path: string): Character[] {
  if (constant) return [...constant];
  return writeWith(WRITERS[kind as CallFieldKind], value, path);
}
