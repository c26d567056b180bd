"""What gddcast is made with and handed out as: licences, known advisories, the wheel."""
