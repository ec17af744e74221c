//! The main job on the demo: whole answers, exit statuses, and the JSON contract.
