/**
 * The page of a watch: what was heard, where, when, and how the inputs are.
 */
import { render } from 'preact';
import { App } from './app.js';
import '../bench/style/theme.css';
import '../bench/style/layout.css';
import '../bench/style/parts.css';
import '../bench/style/strip.css';
import './heard.css';

const root = document.getElementById('app');
if (root) render(<App />, root);
