namespace StageView.Light.Cautions.Moving;

/// <summary>Something that may move.</summary>
/// <param name="Name">What it is called.</param>
/// <param name="Group">Pieces of one group hang together and aren't compared with each other; -1 for none.</param>
public sealed record MovingPiece(string Name, int Group = -1);

/// <summary>Two pieces at their closest while either moved.</summary>
/// <param name="First">Index of one.</param>
/// <param name="Second">Index of the other.</param>
/// <param name="Seconds">When, s.</param>
/// <param name="Least">How close, and where.</param>
/// <param name="CouldBeMetres">How close they could have come between that moment and its neighbours at the speeds they had, m.</param>
/// <param name="MetresPerSecond">Both speeds together then, m/s.</param>
public sealed record PairClearance(int First, int Second, double Seconds, Clearance Least, float CouldBeMetres, float MetresPerSecond);

/// <summary>A piece that moved over or near a volume with people.</summary>
/// <param name="Piece">Index.</param>
/// <param name="Volume">Index.</param>
/// <param name="IsOver">Whether part of it was straight above part of the volume.</param>
/// <param name="From">First so, s.</param>
/// <param name="To">Last so, s.</param>
/// <param name="Seconds">When it was closest, s.</param>
/// <param name="Least">How close, and where; 0 m when it entered the volume.</param>
/// <param name="MetresPerSecond">Its highest speed over or near the volume, m/s.</param>
public sealed record VolumePass(int Piece, int Volume, bool IsOver, double From, double To, double Seconds, Clearance Least, float MetresPerSecond);
