namespace StageView.Light.Photometry;

/// <summary>Why a photometric file was not read.</summary>
/// <param name="Line">From 1; 0 when it concerns the whole file.</param>
/// <param name="Reason">What is wrong and what to do.</param>
public readonly record struct PhotometryRefusal(int Line, string Reason)
{
    public override string ToString() => Line > 0 ? $"line {Line}: {Reason}" : Reason;
}
