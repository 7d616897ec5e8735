namespace StageView.Rig.Keys;

/// <summary>What a value in one of our files may be. The checker, the schema and the error texts are all read from these.</summary>
internal abstract record KeyValue
{
    /// <summary>In an error: "should be …".</summary>
    public abstract string Said { get; }
}

internal sealed record NumberValue(double Least = double.NegativeInfinity, double Most = double.PositiveInfinity) : KeyValue
{
    public override string Said => (double.IsInfinity(Least), double.IsInfinity(Most)) switch
    {
        (true, true) => "a number",
        (false, true) => $"a number, {Least} or more",
        (true, false) => $"a number, {Most} or less",
        _ => $"a number from {Least} to {Most}",
    };
}

internal sealed record IntegerValue(int Least = int.MinValue, int Most = int.MaxValue) : KeyValue
{
    public override string Said => Most == int.MaxValue
        ? (Least == int.MinValue ? "a whole number" : $"a whole number, {Least} or more")
        : $"a whole number from {Least} to {Most}";
}

/// <param name="Pattern">Regular expression the whole text must match, or null.</param>
/// <param name="Meaning">What it is, for messages.</param>
internal sealed record TextValue(string? Pattern = null, string Meaning = "a text") : KeyValue
{
    public override string Said => Meaning;
}

internal sealed record FlagValue : KeyValue
{
    public override string Said => "true or false";
}

internal sealed record ChoiceValue(params string[] Words) : KeyValue
{
    public override string Said => "one of " + string.Join(", ", Words.Select(w => $"\"{w}\""));
}

internal sealed record ListValue(KeyValue Item, int Least = 0, int Most = int.MaxValue) : KeyValue
{
    /// <summary>Whether <see cref="Most"/> is there to keep the work bounded: what is longer is not read at all.</summary>
    public bool IsBound { get; init; }

    public override string Said => Least == Most ? $"a list of {Least}, each {Item.Said}" : $"a list, each {Item.Said}";
}

/// <summary>An object whose keys the user chooses.</summary>
internal sealed record MapValue(KeyValue Item, string KeyPattern, string KeyMeaning) : KeyValue
{
    public override string Said => $"an object whose keys are {KeyMeaning}";
}

/// <summary>The first one whose kind of JSON value fits is used.</summary>
internal sealed record EitherValue(params KeyValue[] Values) : KeyValue
{
    public override string Said => string.Join(", or ", Values.Select(s => s.Said));
}

/// <param name="Name">The key.</param>
/// <param name="Value">What it may hold.</param>
/// <param name="Tells">What it means, with units and the value it has when left out; goes into the schema.</param>
/// <param name="Required">Whether it must be there.</param>
internal sealed record KeyRow(string Name, KeyValue Value, string Tells, bool Required = false);

/// <summary>An object with the keys of a table. <see cref="Keys"/> is set after construction where tables refer to each other.</summary>
internal sealed record ObjectValue(string Name, string Tells) : KeyValue
{
    public IReadOnlyList<KeyRow> Keys { get; set; } = [];

    /// <summary>What keys may hold that are not in the table; null where there are none.</summary>
    public KeyValue? Others { get; init; }

    public override string Said => $"an object ({Name})";

    public ObjectValue With(params KeyRow[] keys)
    {
        Keys = keys;
        return this;
    }

    public bool Equals(ObjectValue? other) => ReferenceEquals(this, other);

    public override int GetHashCode() => Name.GetHashCode(StringComparison.Ordinal);
}
