"""What is worn on the upper body: bodices, dresses in one, yokes and facings."""
