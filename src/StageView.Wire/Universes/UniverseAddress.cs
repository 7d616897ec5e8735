using System.Diagnostics.CodeAnalysis;
using System.Globalization;

namespace StageView.Wire.Universes;

/// <summary>One address of one universe, written <c>universe.address</c> (<c>12.101</c>); addresses count 1 to 512.</summary>
public readonly record struct UniverseAddress : IComparable<UniverseAddress>
{
    public const int AddressesPerUniverse = 512;

    /// <param name="universe">The universe.</param>
    /// <param name="address">1 to 512.</param>
    /// <exception cref="ArgumentOutOfRangeException">Address outside 1 to 512.</exception>
    public UniverseAddress(UniverseNumber universe, int address)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(address, 1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(address, AddressesPerUniverse);
        Universe = universe;
        Address = (ushort)address;
    }

    public UniverseNumber Universe { get; }

    public ushort Address { get; }

    /// <summary>Counts through universes: 1.1 is 0, 1.512 is 511, 2.1 is 512.</summary>
    public int Absolute => ((Universe.Value - 1) * AddressesPerUniverse) + Address - 1;

    public static UniverseAddress FromAbsolute(int absolute) =>
        new(new UniverseNumber((absolute / AddressesPerUniverse) + 1), (absolute % AddressesPerUniverse) + 1);

    public static bool TryParse([NotNullWhen(true)] string? text, out UniverseAddress address)
    {
        address = default;
        if (text is null)
        {
            return false;
        }

        var dot = text.IndexOf('.', StringComparison.Ordinal);
        if (dot < 1
            || !int.TryParse(text.AsSpan(0, dot), NumberStyles.None, CultureInfo.InvariantCulture, out var u)
            || !int.TryParse(text.AsSpan(dot + 1), NumberStyles.None, CultureInfo.InvariantCulture, out var a)
            || !UniverseNumber.IsValid(u) || a is < 1 or > AddressesPerUniverse)
        {
            return false;
        }

        address = new UniverseAddress(new UniverseNumber(u), a);
        return true;
    }

    public static bool operator <(UniverseAddress a, UniverseAddress b) => a.CompareTo(b) < 0;

    public static bool operator >(UniverseAddress a, UniverseAddress b) => a.CompareTo(b) > 0;

    public static bool operator <=(UniverseAddress a, UniverseAddress b) => a.CompareTo(b) <= 0;

    public static bool operator >=(UniverseAddress a, UniverseAddress b) => a.CompareTo(b) >= 0;

    public int CompareTo(UniverseAddress other) => Absolute.CompareTo(other.Absolute);

    public override string ToString() => string.Create(CultureInfo.InvariantCulture, $"{Universe.Value}.{Address}");
}
