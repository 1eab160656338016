/**
 * The JSON Schema of a plan, which `paper.schema.json` has for editors and other programs.
 */
import * as z from 'zod';
import { exerciseSchema, planShape, callsSchema } from './plan.js';

/** The schema as an object. A call itself is described by `call.schema.json`. */
export function paperPlanSchema(): object {
  const exercise = exerciseSchema.extend({ instead: z.array(callsSchema).length(3).optional() });
  const whole = planShape.omit({ seed: true }).extend({
    exercises: z
      .union([planShape.shape.exercises.unwrap().options[0], z.array(exercise).min(1).max(60)])
      .optional(),
  });
  return z.toJSONSchema(whole, { io: 'input', reused: 'ref', unrepresentable: 'any' });
}
