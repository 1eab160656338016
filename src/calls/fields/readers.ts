/**
 * How each kind of field is read.
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
import { areaField } from './area.js';
import { channelField } from './channel.js';
import { constantField, wordField, type CallFieldKind, type Content, type Field } from './field.js';
import { acknowledgedMessageField, irregularMessageField, messageField } from './message.js';
import { positionField } from './position.js';
import { casualtyField, identityField } from './station.js';
import { telephoneField } from './telephone.js';
import { timeField } from './time.js';

/** Those of calls; words are marked as pure, so that a bundle that only writes leaves all of this out. */
export const FIELDS: Readonly<Record<CallFieldKind, Field>> = {
  format: /* @__PURE__ */ wordField('format', FORMAT_CODES),
  category: /* @__PURE__ */ wordField('category', CATEGORY_CODES),
  nature: /* @__PURE__ */ wordField('nature', NATURE_CODES),
  telecommand1: /* @__PURE__ */ wordField('telecommand1', FIRST_TELECOMMAND_CODES),
  telecommand2: /* @__PURE__ */ wordField('telecommand2', SECOND_TELECOMMAND_CODES),
  followOn: /* @__PURE__ */ wordField('followOn', FOLLOW_ON_CODES),
  eos: /* @__PURE__ */ wordField('eos', END_OF_SEQUENCE_CODES),
  identity: identityField,
  casualty: casualtyField,
  area: areaField,
  position: positionField,
  time: timeField,
  channel: channelField,
  message: messageField,
  acknowledgedMessage: acknowledgedMessageField,
  irregularMessage: irregularMessageField,
  telephone: telephoneField,
};

/** The field that stands in a place of a call. */
export function fieldOf({ kind, constant }: Content): Field {
  return constant ? constantField(...constant) : FIELDS[kind as CallFieldKind];
}
