/**
 * To be imported first of all: the page's security policy forbids code made from text, which checks would try as soon
 * as they are set up.
 */
import * as z from 'zod';

/** How checks are done here. Who starts anything asks for it, so that it is settled before. */
export const policy = z.config({ jitless: true });
