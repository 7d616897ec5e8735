using System.Globalization;

namespace StageView.Wire.Universes;

/// <summary>A universe as E1.31 numbers them, 1 to 63999.</summary>
public readonly record struct UniverseNumber : IComparable<UniverseNumber>
{
    public const int Lowest = 1;
    public const int Highest = 63999;

    /// <param name="value">1 to 63999.</param>
    /// <exception cref="ArgumentOutOfRangeException">Outside that range.</exception>
    public UniverseNumber(int value)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(value, Lowest);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(value, Highest);
        Value = (ushort)value;
    }

    public ushort Value { get; }

    public static bool IsValid(int value) => value is >= Lowest and <= Highest;

    public static bool operator <(UniverseNumber a, UniverseNumber b) => a.Value < b.Value;

    public static bool operator >(UniverseNumber a, UniverseNumber b) => a.Value > b.Value;

    public static bool operator <=(UniverseNumber a, UniverseNumber b) => a.Value <= b.Value;

    public static bool operator >=(UniverseNumber a, UniverseNumber b) => a.Value >= b.Value;

    public int CompareTo(UniverseNumber other) => Value.CompareTo(other.Value);

    public override string ToString() => Value.ToString(CultureInfo.InvariantCulture);
}
