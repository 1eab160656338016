/**
 * The test bench: DSC calls composed, heard, answered and logged in the browser.
 */
import { render } from 'preact';
import * as z from 'zod';
import { App } from './app.js';
import './style/fonts.css';
import './style/theme.css';
import './style/layout.css';
import './style/parts.css';
import './style/strip.css';
import './style/views.css';
import './style/exchange.css';
import './style/wall.css';
import './style/print.css';

// The page's security policy forbids code made from text, which checks would otherwise try first.
z.config({ jitless: true });

const root = document.getElementById('app');
if (root) render(<App />, root);
