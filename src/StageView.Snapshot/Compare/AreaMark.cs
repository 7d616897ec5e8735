namespace StageView.Snapshot.Compare;

/// <summary>What the squares that a block lies in told of it.</summary>
[Flags]
internal enum AreaMark : byte
{
    None = 0,

    /// <summary>Its mean is another.</summary>
    Mean = 1,

    /// <summary>What is seen in it lies elsewhere.</summary>
    Shift = 2,
}
