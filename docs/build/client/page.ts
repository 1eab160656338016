/**
 * What the pages do beyond being read. All of it works from a file on disk, and without it every page still reads.
 */
import { foldOnNarrowScreens } from './fold.js';
import { setUpPlayers } from './player.js';
import { oneAtATime } from './sounds.js';

foldOnNarrowScreens();
oneAtATime();
setUpPlayers();
