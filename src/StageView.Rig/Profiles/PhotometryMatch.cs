namespace StageView.Rig.Profiles;

/// <summary>A value that a profile states beside the same value of its photometric file.</summary>
/// <param name="Beam">Name of the part that shines.</param>
/// <param name="What">Lumens, beam angle, field angle.</param>
/// <param name="Unit">lm or deg.</param>
/// <param name="Stated">What the profile says; of a zoom's range the nearest.</param>
/// <param name="Measured">What the file says.</param>
/// <param name="Allowed">How far they may part, in the unit.</param>
public sealed record PhotometryMatch(string Beam, string What, string Unit, float Stated, float Measured, float Allowed)
{
    /// <summary>Whether they part by more than is allowed.</summary>
    public bool IsApart => MathF.Abs(Stated - Measured) > Allowed;
}
