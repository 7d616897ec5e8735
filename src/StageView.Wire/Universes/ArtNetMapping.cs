namespace StageView.Wire.Universes;

/// <summary>How Art-Net's 15-bit port-addresses map to universe numbers: universe = port-address + <see cref="Offset"/>. The scene file states it.</summary>
/// <param name="Offset">Universe number of port-address 0; 1 by default.</param>
public readonly record struct ArtNetMapping(int Offset)
{
    public static ArtNetMapping Default => new(1);

    public bool TryMap(int portAddress, out UniverseNumber universe)
    {
        var value = portAddress + Offset;
        var ok = UniverseNumber.IsValid(value);
        universe = ok ? new UniverseNumber(value) : default;
        return ok;
    }
}
