namespace StageView.Ground.Indices;

/// <summary>A place in one kind of list. Each kind of list has a type of its own, so that a place in one can't be taken for a place in another.</summary>
public interface IIndex<TSelf> : IComparable<TSelf>
    where TSelf : struct, IIndex<TSelf>
{
    /// <summary>From 0; below 0 for none.</summary>
    int Value { get; }

    static abstract TSelf At(int value);
}
