"""Lost production worked out from stoppages, beside what was entered."""
